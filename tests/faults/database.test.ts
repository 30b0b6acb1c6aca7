import { copyFileSync, mkdirSync, readFileSync, truncateSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import Sqlite from 'better-sqlite3'
import { expect, test, vi } from 'vitest'
import { computations } from '../../electron/engine/compute/computations.ts'
import type { Workers } from '../../electron/engine/compute/workers.ts'
import { backUp } from '../../electron/engine/store/backup.ts'
import type { Answer } from '../../shared/problem.ts'
import { testEngine, testFolder } from '../engine/engine-in-folder.ts'
import { plannedStudy } from '../engine/studies-for-tests.ts'

const inFolder = (name = 'test.db') => join(testFolder(), name)

test('a text file is refused as no database and left as it is', async () => {
  const file = inFolder('notes.txt')
  const text = 'speed,thickness\n3000,1500\n'.repeat(100)
  writeFileSync(file, text)
  const { refused } = await testEngine({ databaseFile: file })
  expect(await refused('studies.list', {})).toMatchObject([
    { code: 'notADatabase', message: expect.stringContaining(file) },
  ])
  expect(readFileSync(file, 'utf8')).toBe(text)
})

test('the database of another program is refused and left as it is', async () => {
  for (const [name, mark] of [
    ['other-id.db', 'PRAGMA application_id = 7; CREATE TABLE a (b)'],
    ['no-id.db', 'CREATE TABLE a (b)'],
    ['version.db', 'PRAGMA user_version = 3; CREATE TABLE a (b)'],
  ] as const) {
    const file = inFolder(name)
    const db = new Sqlite(file)
    db.exec(mark)
    db.close()
    const before = readFileSync(file)
    const { refused } = await testEngine({ databaseFile: file })
    expect(await refused('studies.list', {}), name).toMatchObject([{ code: 'wrongApplication' }])
    expect(readFileSync(file).equals(before), name).toBe(true)
  }
})

test('a database of a newer version is refused with a sentence that says so', async () => {
  const { file, engine } = await testEngine()
  await engine.close()
  const db = new Sqlite(file)
  db.pragma('user_version = 99')
  db.close()
  const { refused } = await testEngine({ databaseFile: file })
  expect(await refused('studies.list', {})).toMatchObject([
    { code: 'newerVersion', message: expect.stringContaining('database version 99') },
  ])
})

test('a database that another program holds is refused, and works once it is let go', async () => {
  const first = await testEngine()
  await first.engine.close()
  const holder = new Sqlite(first.file)
  holder.exec('BEGIN EXCLUSIVE')
  const { ok, refused } = await testEngine({ databaseFile: first.file, busyTimeout: 50 })
  expect(await refused('studies.create', { study: { name: 'A' } })).toMatchObject([
    { code: 'databaseLocked' },
  ])
  holder.exec('ROLLBACK')
  holder.close()
  await ok('studies.create', { study: { name: 'A' } })
  expect(await ok('studies.list', {})).toHaveLength(1)
})

test('a write waits for another writer and is refused after the time-out with nothing kept', async () => {
  const { ok, refused, file } = await testEngine({ busyTimeout: 50 })
  const { studyId } = await ok('studies.create', { study: { name: 'A' } })
  const holder = new Sqlite(file)
  holder.exec('BEGIN IMMEDIATE')
  expect(await refused('studies.update', { studyId, change: { name: 'B' } })).toMatchObject([
    { code: 'databaseLocked' },
  ])
  // Reading goes on meanwhile.
  expect(await ok('studies.get', { studyId })).toMatchObject({ name: 'A' })
  holder.exec('ROLLBACK')
  holder.close()
  await ok('studies.update', { studyId, change: { name: 'B' } })
})

test('a folder that is none, is missing or cannot be written is named', async () => {
  const folder = testFolder()
  writeFileSync(join(folder, 'file'), 'a file, no folder')
  for (const file of [join(folder, 'file', 'a.db'), join(folder, 'missing', 'a.db'), folder]) {
    const { refused } = await testEngine({ databaseFile: file })
    expect(await refused('studies.list', {}), file).toMatchObject([
      { code: 'cannotOpen', message: expect.stringContaining(file) },
    ])
  }
})

test('a damaged database is refused and left as it is', async () => {
  const engine = await testEngine()
  await plannedStudy(engine)
  await engine.engine.close()
  const bytes = readFileSync(engine.file)
  // Half of the pages after the first are overwritten, as a torn copy leaves them.
  for (let at = 4096; at < bytes.length; at += 8192) bytes.fill(0xa5, at, at + 4096)
  writeFileSync(engine.file, bytes)
  const { refused } = await testEngine({ databaseFile: engine.file })
  const [problem] = await refused('studies.list', {})
  expect(problem).toMatchObject({ code: 'databaseDamaged' })
  expect(problem?.message).toBe(
    `‘${engine.file}’ is damaged: parts of it cannot be read. It is kept as it is, and nothing more is written to it. ` +
      'No backup lies beside it. One from elsewhere, copied into this folder under its own name, can take its place; or begin with an empty database.',
  )
  expect(await refused('studies.create', { study: { name: 'A' } })).toMatchObject([
    { code: 'databaseDamaged' },
  ])
  expect(readFileSync(engine.file).equals(bytes)).toBe(true)
})

test('a large one is open at once, and refused as soon as its damage is found', async () => {
  const engine = await testEngine()
  const { runs } = await plannedStudy(engine)
  for (const { id: runId } of runs)
    await engine.ok('bench.enterReadings', { runId, unit: 'nm', readings: [{ site: 1, text: '1500' }] })
  const { name } = await engine.ok('backups.make', {})
  await engine.engine.close()
  const db = new Sqlite(engine.file)
  const page = db.prepare("SELECT max(pageno) FROM dbstat WHERE name = 'reading'").pluck().get() as number
  db.close()
  const bytes = readFileSync(engine.file)
  bytes.fill(0xa5, 4096 * (page - 1), 4096 * page)
  writeFileSync(engine.file, bytes)

  let told = 0
  const onChanged = () => {
    told += 1
  }
  const large = await testEngine({ databaseFile: engine.file, readAtOnce: 0, onChanged })
  expect(await large.ok('studies.list', {})).toHaveLength(1)
  await vi.waitFor(() => expect(told).toBe(1), 20_000)
  for (let i = 0; i < 2; i++)
    expect(await large.refused('studies.list', {})).toMatchObject([{ code: 'databaseDamaged' }])
  await large.ok('backups.restore', { name })
  expect(await large.ok('bench.runs', { studyId: runs[0]!.studyId })).toHaveLength(18)
})

test('a large one that is whole stays open', async () => {
  const engine = await testEngine()
  await plannedStudy(engine)
  await engine.engine.close()
  const read: string[] = []
  const workers: Workers = {
    async compute({ computation, input }) {
      const answer = await (computations[computation] as (input: unknown) => Answer<unknown>)(input)
      read.push(`${computation} ${answer.ok}`)
      return answer
    },
    close: async () => {},
  }
  const large = await testEngine({ databaseFile: engine.file, readAtOnce: 0, workers })
  await vi.waitFor(() => expect(read).toEqual(['readThrough true']), 20_000)
  expect(await large.ok('studies.list', {})).toHaveLength(1)
})

test('a damaged database names its newest backup, and that one opens', async () => {
  const engine = await testEngine()
  const { studyId } = await plannedStudy(engine)
  await engine.engine.close()
  const db = new Sqlite(engine.file)
  backUp(db, 'before-version-9')
  // The name that sorts last is not the newest.
  const older = `${engine.file}.before-version-99.2020-01-01T00-00-00-000Z.backup`
  copyFileSync(engine.file, older)
  const backup = backUp(db, 'before-version-10')
  db.close()
  const bytes = readFileSync(engine.file)
  bytes.fill(0xa5, 4096, 3 * 4096)
  writeFileSync(engine.file, bytes)
  const { refused } = await testEngine({ databaseFile: engine.file })
  const [problem] = await refused('studies.list', {})
  expect(problem?.message).toContain(`A backup lies beside it: ‘${backup}’. `)
  const again = await testEngine({ databaseFile: backup })
  expect(await again.ok('bench.runs', { studyId })).toHaveLength(18)
})

test('a database cut short is refused', async () => {
  const engine = await testEngine()
  await plannedStudy(engine)
  await engine.engine.close()
  truncateSync(engine.file, 20_000)
  const { refused } = await testEngine({ databaseFile: engine.file })
  expect(await refused('studies.list', {})).toMatchObject([{ code: 'databaseDamaged' }])
})

test('an empty file becomes a database; a folder made later is found', async () => {
  const file = inFolder()
  writeFileSync(file, '')
  const { ok } = await testEngine({ databaseFile: file })
  await ok('studies.create', { study: { name: 'A' } })

  const later = join(testFolder(), 'later', 'a.db')
  const late = await testEngine({ databaseFile: later })
  expect(await late.refused('studies.list', {})).toMatchObject([{ code: 'cannotOpen' }])
  mkdirSync(dirname(later))
  expect(await late.ok('studies.list', {})).toEqual([])
})
