import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Database } from 'better-sqlite3'
import { afterAll, expect, test } from 'vitest'
import { seeded } from '../../shared/random.ts'
import { testEngine } from '../engine/engine-in-folder.ts'
import { plannedStudy } from '../engine/studies-for-tests.ts'
import { changedBy, oneCellChanged } from './hostile/changed-database.ts'
import { held } from './hostile/held-to-limits.ts'
import { inLimits } from './hostile/in-limits.ts'

/** Files by kind of damage: few here, many with `npm run test:long`. */
const long = Boolean(process.env.EVENFILM_TEST_LONG)
const draws = long ? 1500 : 4

const limits = inLimits({ ms: 60_000, heap: 1000 })
afterAll(limits.end)

/** What reads a whole database that others may have written. */
const databaseReaders = ['backup', 'verify', 'database']

/** A database with a study, a reading, an import and what was undone, at rest. */
let made: Buffer | undefined
async function goodDatabase(): Promise<Buffer> {
  if (made) return made
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const runId = runs[0]?.id as string
  await engine.ok('bench.enterReadings', { runId, unit: 'nm', readings: [{ site: 1, text: '1500' }] })
  await engine.ok('imports.commit', {
    studyId,
    fileName: 'b.csv',
    text: `run,thickness\n${runs[1]?.code},1502\n`,
  })
  await engine.ok('studies.update', { studyId, change: { notes: 'a note' } })
  await engine.ok('history.undo', { studyId })
  await engine.engine.close()
  made = readFileSync(engine.file)
  // In memory there is no log to write ahead: bytes 18 and 19 of the header say how it is written.
  made.fill(1, 18, 20)
  return made
}

/** The database after a change that its record takes for the newest step. */
const changed = (good: Buffer, change: (db: Database) => void) =>
  changedBy(good, (db) => {
    db.exec('UPDATE writing SET step = (SELECT max(id) FROM step)')
    change(db)
    db.exec('UPDATE writing SET step = NULL WHERE step = (SELECT max(id) FROM step)')
  })

/** Those for what a database has and the file of a study has not; all of them in the long run. */
const scripts = (long ? ['database', 'study'] : ['database']).flatMap((folder) => {
  const path = join(import.meta.dirname, 'corpus', folder)
  return readdirSync(path).map((name) => ({
    name: `${folder}/${name}`,
    sql: readFileSync(join(path, name), 'utf8'),
  }))
})

test('as it is made, it is read', async () => {
  const good = await goodDatabase()
  for (const reader of databaseReaders) expect((await limits.read(reader, good)).kind, reader).toBe('value')
})

test('a format of the schema that nobody knows is damage', async () => {
  const bytes = Buffer.from(await goodDatabase())
  // SQLite, Database File Format, section 1.3: the schema format number stands at byte 44.
  bytes.writeUInt32BE(9, 44)
  for (const reader of databaseReaders) {
    const outcome = await limits.read(reader, bytes)
    expect(outcome, reader).toMatchObject({ kind: 'problems', problems: [{ code: 'databaseDamaged' }] })
  }
})

test('a database changed by each kept script is read within limits, or refused and left as it is', async () => {
  const good = await goodDatabase()
  for (const { name, sql } of scripts) {
    const bytes = changed(good, (db) => db.exec(sql))
    expect(bytes.equals(good), `${name} has changed something`).toBe(false)
    for (const reader of databaseReaders) await held(limits, reader, bytes, name)
  }
}, 600_000)

test('cells and bytes changed at random', async () => {
  const random = seeded(33)
  const good = await goodDatabase()
  for (let i = 0; i < draws; i++) {
    let what = ''
    const cells = changed(good, (db) => {
      what = oneCellChanged(db, random)
    })
    const bytes = Buffer.from(i % 2 ? cells : good)
    for (let times = random.below(i % 2 ? 2 : 30); times > 0; times--)
      bytes[random.below(i % 3 ? bytes.length : 200)] = random.below(256)
    const cut = i % 9 ? bytes : bytes.subarray(0, random.below(bytes.length))
    for (const reader of databaseReaders) await held(limits, reader, cut, `${i}: ${what}`)
  }
}, 3_600_000)
