import Sqlite from 'better-sqlite3'
import { expect, test, vi } from 'vitest'
import { openStore, type Store } from '../../electron/engine/store/open.ts'
import { addReading, readingsOfRun, readingsOfStudy } from '../../electron/engine/store/readings.ts'
import { writeStep } from '../../electron/engine/store/step.ts'
import { refuse } from '../../shared/problem.ts'
import { type TestEngine, testEngine } from './engine-in-folder.ts'
import { keptSummaries } from './kept-summaries.ts'
import { plannedStudy } from './studies-for-tests.ts'

const sites = (mean: number) => Array.from({ length: 9 }, (_, i) => ({ site: i + 1, text: `${mean + i}` }))

/** What an engine says of a study is what one says that has just been opened on the same file. */
async function isAsInFile(engine: TestEngine, studyId: string, after: string) {
  expect(keptSummaries(engine.file).wrong, after).toEqual([])
  const fresh = await testEngine({ databaseFile: engine.file })
  for (const name of ['bench.runs', 'fits.table', 'reports.readingsCsv'] as const)
    expect(await engine.ok(name, { studyId }), `${name} after ${after}`).toEqual(
      await fresh.ok(name, { studyId }),
    )
  await fresh.engine.close()
  const read = (await engine.ok('bench.runs', { studyId })).filter(({ readings }) => readings > 0)
  expect(keptSummaries(engine.file), `kept after ${after}`).toEqual({ kept: read.length, wrong: [] })
}

test('readings that are known are those of the file after every kind of write', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const [a, b] = runs.map((run) => run.id) as [string, string]
  const enter = (of: TestEngine, runId: string, readings: { site: number; text: string }[]) =>
    of.ok('bench.enterReadings', { runId, unit: 'nm', readings })
  const { readingIds } = await enter(engine, a, sites(1500))
  await isAsInFile(engine, studyId, 'an entry')
  await enter(engine, a, [{ site: 3, text: '1490' }])
  await isAsInFile(engine, studyId, 'a correction')
  await engine.ok('bench.excludeReading', { readingId: readingIds[4]!, reason: 'a scratch' })
  await isAsInFile(engine, studyId, 'an exclusion')
  await engine.ok('bench.includeReading', { readingId: readingIds[4]! })
  await isAsInFile(engine, studyId, 'lifting it')
  await engine.ok('history.undo', { studyId })
  await isAsInFile(engine, studyId, 'undoing that')
  await engine.ok('studies.update', { studyId, change: { edgeExclusionMm: 20 } })
  await isAsInFile(engine, studyId, 'another edge exclusion')
  const csv = `run,site,thickness (nm)\n${sites(1600)
    .map(({ site, text }) => `W02,${site},${text}\n`)
    .join('')}`
  await engine.ok('imports.commit', { studyId, fileName: 'b.csv', text: csv })
  await isAsInFile(engine, studyId, 'an import')
  await engine.ok('history.undo', { studyId })
  await isAsInFile(engine, studyId, 'undoing the import')
  await engine.ok('history.redo', { studyId })
  await isAsInFile(engine, studyId, 'redoing the import')
  const other = await testEngine({ databaseFile: engine.file })
  await enter(other, b, [{ site: 1, text: '1700' }])
  await isAsInFile(engine, studyId, 'an entry by another process')
  expect((await engine.ok('bench.runs', { studyId }))[1]?.readings).toBe(9)
})

test('readings that are known are those of a backup that another process has put back', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const runId = runs[0]!.id
  const enter = (of: TestEngine, text: string) =>
    of.ok('bench.enterReadings', { runId, unit: 'nm', readings: [{ site: 1, text }] })
  await enter(engine, '1500')
  const { name } = await engine.ok('backups.make', {})
  await enter(engine, '1600')
  const csv = async () => (await engine.ok('reports.readingsCsv', { studyId })).text
  expect(await csv()).toContain('1600')
  const desktop = await testEngine({ databaseFile: engine.file })
  await desktop.ok('backups.restore', { name })
  expect(await csv()).not.toContain('1600')
  await isAsInFile(engine, studyId, 'a backup put back')
  // And what is written on top of it, which would have got the numbers of what is gone.
  await enter(desktop, '1700')
  expect(await csv()).toContain('1700')
  await isAsInFile(engine, studyId, 'an entry after a backup was put back')
  await enter(engine, '1750')
  await isAsInFile(desktop, studyId, 'an entry by the one that did not put it back')
})

test('what was read inside a step that is taken back is not taken for known', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const [a, b] = runs.map((run) => run.id) as [string, string]
  await engine.engine.close()
  const opened = openStore(engine.file)
  const store = (opened as { value: Store }).value
  const reading = (runId: string, value: number) => {
    const howRead = { repeat: 1, takenAfter: null, opticalIndex: null }
    const typed = { text: String(value), unit: 'nm', value, quantity: 'thickness', supersedes: null }
    return addReading(store.db, { runId, site: 1, xMm: 0, yMm: 0, ...howRead, ...typed })
  }
  const step = { call: 'test', who: '', kind: 'do' } as const
  const readOf = (runId: string) => readingsOfStudy(store.db, studyId).get(runId) ?? []
  expect(readOf(a)).toEqual([])
  writeStep(store, step, () => {
    reading(a, 1500)
    expect(readOf(a)).toHaveLength(1)
    return refuse('test', 'Taken back.')
  })
  // The change in the other run gets the number that the one taken back had.
  writeStep(store, step, () => {
    reading(b, 1600)
    return { ok: true, value: null }
  })
  expect(readOf(a)).toEqual([])
  expect(readOf(b)).toEqual(readingsOfRun(store.db, b))
  expect(readOf(b)).toHaveLength(1)
  store.db.close()
})

test('what was worked out is in the file within seconds, and nobody waits for it while another process writes', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  await engine.ok('bench.enterReadings', { runId: runs[0]!.id, unit: 'nm', readings: sites(1500) })
  await engine.ok('bench.runs', { studyId })
  const other = new Sqlite(engine.file)
  other.exec('BEGIN IMMEDIATE')
  await new Promise((resolve) => setTimeout(resolve, 1500))
  const asked = performance.now()
  await engine.ok('bench.runs', { studyId })
  // A write would have waited for 5 s.
  expect(performance.now() - asked).toBeLessThan(2500)
  expect(keptSummaries(engine.file).kept).toBe(0)
  other.exec('COMMIT')
  other.close()
  await vi.waitFor(() => expect(keptSummaries(engine.file)).toEqual({ kept: 1, wrong: [] }), 5000)
})

test('a summary in the file is used, and one of another question or edition is not', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  await engine.ok('bench.enterReadings', { runId: runs[0]!.id, unit: 'nm', readings: sites(1500) })
  await engine.ok('bench.runs', { studyId })
  await engine.engine.close()
  const planted = (sql: string) => {
    const db = new Sqlite(engine.file)
    db.exec(sql)
    db.close()
  }
  const mean = async () => {
    const fresh = await testEngine({ databaseFile: engine.file })
    const [run] = await fresh.ok('bench.runs', { studyId })
    await fresh.engine.close()
    return run?.film?.mean
  }
  planted(`UPDATE runSummary SET summary = json_set(summary, '$.film.mean', 1.0)`)
  expect(await mean()).toBe(1)
  planted(
    `UPDATE runSummary SET question = json_replace(question, '$[0]', json_extract(question, '$[0]') - 1)`,
  )
  expect(await mean()).toBe(1504)
  expect(keptSummaries(engine.file)).toEqual({ kept: 1, wrong: [] })
})
