import { spawnSync } from 'node:child_process'
import {
  copyFileSync,
  existsSync,
  readdirSync,
  readFileSync,
  truncateSync,
  utimesSync,
  writeFileSync,
} from 'node:fs'
import { basename, dirname, join } from 'node:path'
import Sqlite from 'better-sqlite3'
import fc from 'fast-check'
import { describe, expect, test, vi } from 'vitest'
import { backUp } from '../../electron/engine/store/backup.ts'
import { tooMany } from '../../electron/engine/store/backups.ts'
import { type TestEngine, testEngine } from '../engine/engine-in-folder.ts'
import { forked } from '../engine/forked-engine.ts'
import { plannedStudy } from '../engine/studies-for-tests.ts'

const listed = async ({ ok }: TestEngine) => (await ok('backups.list', {})).backups
const names = async ({ ok }: TestEngine) => (await ok('studies.list', {})).map(({ name }) => name)
function studiesIn(file: string): string[] {
  const db = new Sqlite(file, { readonly: true })
  const found = db.prepare('SELECT name FROM study').pluck().all() as string[]
  db.close()
  return found
}
/** Waits until backups of this count are there. */
const until = (engine: TestEngine, count: number) =>
  vi.waitFor(async () => expect(await listed(engine)).toHaveLength(count), 20_000)

describe('which backups are kept', () => {
  const made = (at: string, steps: number) => ({ at: `${at}:00.000Z`, steps })

  test('three of the newest day, one of every other day, ten in all', () => {
    const days = Array.from({ length: 12 }, (_, i) =>
      made(`2026-03-${String(i + 1).padStart(2, '0')}T09:00`, i),
    )
    const today = [10, 11, 12, 13, 14].map((hour, i) => made(`2026-03-20T${hour}:00`, 100 + i))
    const twice = made('2026-03-12T18:00', 50)
    const gone = new Set(tooMany([...days, ...today, twice]))
    expect(today.filter((one) => gone.has(one)).map(({ steps }) => steps)).toEqual([100, 101])
    expect(gone.has(twice)).toBe(false)
    expect(days.filter((one) => !gone.has(one)).map(({ steps }) => steps)).toEqual([5, 6, 7, 8, 9, 10])
  })

  test('the backup with the newest work stays, whatever the clock says, and never more than ten', () => {
    const one = fc.record({
      at: fc
        .date({ noInvalidDate: true, min: new Date(0), max: new Date(4e12) })
        .map((day) => day.toISOString()),
      steps: fc.integer({ min: 0, max: 1000 }),
    })
    fc.assert(
      fc.property(fc.array(one, { minLength: 1, maxLength: 40 }), (all) => {
        const gone = new Set(tooMany(all))
        const kept = all.filter((each) => !gone.has(each))
        expect(kept.length).toBeGreaterThan(0)
        expect(kept.length).toBeLessThanOrEqual(10)
        expect(Math.max(...kept.map(({ steps }) => steps))).toBe(Math.max(...all.map(({ steps }) => steps)))
      }),
    )
  })
})

describe('when backups are made', () => {
  test('at the start where something has changed since the last, and not otherwise', async () => {
    const first = await testEngine()
    await first.ok('studies.create', { study: { name: 'A' } })
    await first.engine.close()
    const second = await testEngine({ databaseFile: first.file, keepBackups: true })
    await until(second, 1)
    expect((await listed(second))[0]?.occasion).toBe('start')
    await second.engine.close()
    const third = await testEngine({ databaseFile: first.file, keepBackups: true })
    await third.ok('studies.list', {})
    await third.ok('backups.make', {})
    expect((await listed(third)).map(({ occasion }) => occasion)).toEqual(['by-hand', 'start'])
  })

  test('before an import, and only one where nothing has changed since', async () => {
    const engine = await testEngine()
    const { studyId } = await engine.ok('studies.create', { study: { name: 'A' } })
    const text = (code: string) => `run,speed,thickness\n${code},3000,1500\n`
    await engine.ok('imports.commit', { studyId, fileName: 'a.csv', text: text('W01') })
    expect((await listed(engine)).map(({ occasion }) => occasion)).toEqual(['before-import'])
    await engine.ok('backups.make', {})
    await engine.ok('imports.commit', { studyId, fileName: 'b.csv', text: text('W02') })
    expect((await listed(engine)).map(({ occasion }) => occasion)).toEqual(['by-hand', 'before-import'])
    // What it holds is the study before the import.
    const before = (await listed(engine))[1]!
    expect((await engine.ok('backups.look', { name: before.name })).studies).toMatchObject([
      { name: 'A', runs: 0, readings: 0 },
    ])
  })
})

describe('a backup put in the place of the database', () => {
  test('brings back what it holds; what was there is saved first, and can be brought back too', async () => {
    const engine = await testEngine()
    await engine.ok('studies.create', { study: { name: 'A' } })
    const { name } = await engine.ok('backups.make', {})
    await engine.ok('studies.create', { study: { name: 'B' } })
    const kept = (await engine.ok('backups.restore', { name })).kept ?? ''
    expect(await names(engine)).toEqual(['A'])
    const inside = await engine.ok('backups.look', { name: kept })
    expect(inside.studies.map((study) => study.name).sort()).toEqual(['A', 'B'])
    expect((await listed(engine)).find((backup) => backup.name === kept)?.occasion).toBe('before-restore')
    await engine.ok('backups.restore', { name: kept })
    expect((await names(engine)).sort()).toEqual(['A', 'B'])
    await engine.ok('studies.create', { study: { name: 'C' } })
  })

  test('another process that has the database open sees it and goes on', async () => {
    const engine = await testEngine()
    await engine.ok('studies.create', { study: { name: 'A' } })
    const { name } = await engine.ok('backups.make', {})
    const other = forked(engine.file)
    await other.ready
    await other.call('studies.create', { study: { name: 'B' } })
    await engine.ok('backups.restore', { name })
    await vi.waitFor(() => expect(other.replies.some(({ kind }) => kind === 'changed')).toBe(true), 20_000)
    const seen = (await other.call('studies.list', {})).value as unknown as { name: string }[]
    expect(seen.map((study) => study.name)).toEqual(['A'])
    expect((await other.call('studies.create', { study: { name: 'C' } })).ok).toBe(true)
    expect((await names(engine)).sort()).toEqual(['A', 'C'])
  })

  test.each(['damaged', 'cut short', 'text'] as const)(
    'takes the place of a database that is %s, which is kept under another name',
    async (how) => {
      const first = await testEngine()
      const { studyId } = await plannedStudy(first)
      const { name } = await first.ok('backups.make', {})
      await first.engine.close()
      if (how === 'cut short') truncateSync(first.file, 20_000)
      else if (how === 'text') writeFileSync(first.file, 'notes\n'.repeat(1000))
      else {
        const bytes = readFileSync(first.file)
        for (let at = 4096; at < bytes.length; at += 8192) bytes.fill(0xa5, at, at + 4096)
        writeFileSync(first.file, bytes)
      }
      const bad = readFileSync(first.file)
      const engine = await testEngine({ databaseFile: first.file })
      await engine.refused('studies.list', {})
      const { kept } = await engine.ok('backups.restore', { name })
      expect(readFileSync(join(dirname(first.file), kept ?? '')).equals(bad)).toBe(true)
      expect(await engine.ok('bench.runs', { studyId })).toHaveLength(18)
    },
  )

  test('an empty database takes the place of one that cannot be read, which is kept; never of a whole one', async () => {
    const first = await testEngine()
    await first.ok('studies.create', { study: { name: 'A' } })
    expect(await first.refused('backups.startEmpty', {})).toMatchObject([{ code: 'databaseWhole' }])
    expect(await names(first)).toEqual(['A'])
    const { name } = await first.ok('backups.make', {})
    await first.engine.close()
    const bytes = readFileSync(first.file)
    for (let at = 4096; at < bytes.length; at += 8192) bytes.fill(0xa5, at, at + 4096)
    writeFileSync(first.file, bytes)
    const engine = await testEngine({ databaseFile: first.file })
    await engine.refused('studies.list', {})
    const { kept } = await engine.ok('backups.startEmpty', {})
    expect(readFileSync(join(dirname(first.file), kept ?? '')).equals(bytes)).toBe(true)
    expect(await names(engine)).toEqual([])
    await engine.ok('studies.create', { study: { name: 'B' } })
    expect(await names(engine)).toEqual(['B'])
    await engine.ok('backups.restore', { name })
    expect(await names(engine)).toEqual(['A'])
  })

  test('is refused where the backup is damaged, is none of this database, or was written by a newer version', async () => {
    const engine = await testEngine()
    await engine.ok('studies.create', { study: { name: 'A' } })
    const { name } = await engine.ok('backups.make', {})
    const path = join(dirname(engine.file), name)
    const newer = name.replace('by-hand', 'newer')
    copyFileSync(path, join(dirname(engine.file), newer))
    const db = new Sqlite(join(dirname(engine.file), newer))
    db.pragma('user_version = 99')
    db.close()
    expect(await engine.refused('backups.restore', { name: newer })).toMatchObject([{ code: 'newerVersion' }])
    const bytes = readFileSync(path)
    bytes.fill(0xa5, 4096, 5 * 4096)
    writeFileSync(path, bytes)
    expect(await engine.refused('backups.look', { name })).toMatchObject([
      { code: expect.stringMatching(/amaged/) },
    ])
    await engine.refused('backups.restore', { name })
    for (const odd of ['../test.db', basename(engine.file), '/etc/passwd', ''])
      expect(await engine.refused('backups.restore', { name: odd })).toMatchObject([{ code: 'noSuchBackup' }])
    expect(await names(engine)).toEqual(['A'])
  })

  test('is not taken away by the one that saves what is there', async () => {
    const engine = await testEngine()
    const made: string[] = []
    for (const study of ['A', 'B', 'C']) {
      await engine.ok('studies.create', { study: { name: study } })
      made.push((await engine.ok('backups.make', {})).name)
    }
    await engine.ok('studies.create', { study: { name: 'D' } })
    // The oldest of three of one day, to which a fourth comes.
    await engine.ok('backups.restore', { name: made[0] as string })
    expect(await names(engine)).toEqual(['A'])
    expect((await listed(engine)).map(({ name }) => name)).toContain(made[0])
  })

  test('waits for another program that writes, and is refused where that goes on', async () => {
    const engine = await testEngine({ busyTimeout: 2000 })
    await engine.ok('studies.create', { study: { name: 'A' } })
    const { name } = await engine.ok('backups.make', {})
    await engine.ok('studies.create', { study: { name: 'B' } })
    const holder = new Sqlite(engine.file)
    holder.exec('BEGIN IMMEDIATE')
    expect(await engine.refused('backups.restore', { name })).toMatchObject([{ code: 'databaseLocked' }])
    expect((await names(engine)).sort()).toEqual(['A', 'B'])
    const restoring = engine.ok('backups.restore', { name })
    await new Promise((later) => setTimeout(later, 500))
    holder.exec('ROLLBACK')
    holder.close()
    await restoring
    expect(await names(engine)).toEqual(['A'])
  })

  test('takes nothing away that another process is told is kept', async () => {
    const engine = await testEngine()
    await engine.ok('studies.create', { study: { name: 'A' } })
    const { name } = await engine.ok('backups.make', {})
    const other = forked(engine.file)
    await other.ready
    const confirmed: string[] = []
    let going = true
    const writing = (async () => {
      for (let i = 0; going; i++) {
        const made = await other.call('studies.create', { study: { name: `${i}` } })
        if (made.ok) confirmed.push(`${i}`)
        await new Promise((later) => setTimeout(later, 20))
      }
    })()
    const standing = new Set<string>()
    for (let i = 0; i < 4; i++) {
      const done = await engine.engine.call('backups.restore', { name })
      if (done.ok) {
        const { kept } = done.value as { kept: string }
        for (const study of studiesIn(join(dirname(engine.file), kept))) standing.add(study)
      } else expect(done.problems[0]?.code).toMatch(/^(writtenMeanwhile|databaseLocked)$/)
    }
    going = false
    await writing
    for (const study of await names(engine)) standing.add(study)
    expect(confirmed.length).toBeGreaterThan(3)
    expect(confirmed.filter((study) => !standing.has(study))).toEqual([])
  }, 60_000)

  test('calls that come meanwhile wait, and a long one is ended', async () => {
    const engine = await testEngine()
    const { studyId } = await engine.ok('studies.create', { study: { name: 'A' } })
    const { name } = await engine.ok('backups.make', {})
    const rows = Array.from({ length: 3000 }, (_, i) => `W${i},${2000 + i},1500`).join('\n')
    const importing = engine.engine.call(
      'imports.commit',
      { studyId, fileName: 'a.csv', text: `run,speed,thickness\n${rows}` },
      'page',
    )
    const restoring = engine.ok('backups.restore', { name })
    const listing = engine.ok('studies.list', {})
    expect((await listing).map((study) => study.runsPlanned)).toEqual([0])
    await restoring
    expect(await importing).toMatchObject({ ok: false })
    expect(await engine.ok('bench.runs', { studyId })).toEqual([])
    expect(readdirSync(dirname(engine.file)).filter((file) => file.includes('unfinished'))).toEqual([])
  })
})

test('what a killed program has left of a file is taken away at the next start; what is being written stays', async () => {
  const engine = await testEngine()
  await engine.ok('studies.create', { study: { name: 'A' } })
  await engine.engine.close()
  const gone = spawnSync(process.execPath, ['--version']).pid
  const left = [gone, process.pid].flatMap((pid) =>
    ['', '-journal'].map(
      (more) => `${engine.file}.start.2026-03-02T14-05-09-123Z.backup.unfinished-${pid}${more}`,
    ),
  )
  const ofOther = `${dirname(engine.file)}/other.db.unfinished-${gone}`
  for (const file of [...left, ofOther]) writeFileSync(file, 'half')
  const there = () => [...left, ofOther].map((file) => existsSync(file))
  await (await testEngine({ databaseFile: engine.file })).ok('studies.list', {})
  expect(there()).toEqual([false, false, true, true, true])
  // A number that another process has by now does not keep them for ever.
  for (const file of left.slice(2)) utimesSync(file, new Date(0), new Date(0))
  await (await testEngine({ databaseFile: engine.file })).ok('studies.list', {})
  expect(there()).toEqual([false, false, false, false, true])
})

test('a backup that could not be finished leaves no file, and the page is told', async () => {
  const { ok, file, engine } = await testEngine()
  await ok('studies.create', { study: { name: 'A' } })
  await engine.close()
  const db = new Sqlite(file)
  // The folder that the copy would stand in is no folder.
  expect(() => backUp(db, 'no/such')).toThrow()
  db.close()
  expect(readdirSync(dirname(file)).filter((name) => /backup|unfinished/.test(name))).toEqual([])
})
