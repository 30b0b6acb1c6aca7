import Sqlite from 'better-sqlite3'
import { expect, test } from 'vitest'
import { startEngine } from '../../electron/engine/engine.ts'
import { type TestEngine, testEngine } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

const typed = (texts: string[]) => texts.map((text, i) => ({ site: i + 1, text }))

/** Everything that the calls say about a study, without the time of the last change. */
async function allOf({ ok }: TestEngine, studyId: string) {
  const { changedAt: _, ...study } = await ok('studies.get', { studyId })
  const runs = await ok('bench.runs', { studyId })
  const readings = []
  for (const run of runs.filter((run) => run.readings > 0))
    readings.push((await ok('bench.card', { runId: run.id })).readings)
  return { study, runs, readings }
}

test('every step can be taken back and made again, one by one', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const runId = runs[0]!.id
  const seen = [await allOf(engine, studyId)]
  const entered = await engine.ok('bench.enterReadings', {
    runId,
    unit: 'nm',
    readings: typed(['1500', '1510.25', '1490']),
  })
  seen.push(await allOf(engine, studyId))
  await engine.ok('bench.enterReadings', { runId, unit: 'nm', readings: [{ site: 2, text: '1511' }] })
  seen.push(await allOf(engine, studyId))
  await engine.ok('bench.excludeReading', { readingId: entered.readingIds[0]!, reason: 'comet' })
  seen.push(await allOf(engine, studyId))
  await engine.ok('bench.excludeReading', { readingId: entered.readingIds[0]!, reason: 'scratch' })
  seen.push(await allOf(engine, studyId))
  await engine.ok('bench.includeReading', { readingId: entered.readingIds[0]! })
  seen.push(await allOf(engine, studyId))
  await engine.ok('bench.updateRun', {
    runId,
    change: { settings: { speed: 2010.1, time: 1 / 3, bake: 90 }, lot: null },
  })
  seen.push(await allOf(engine, studyId))
  await engine.ok('studies.update', {
    studyId,
    change: { targetNm: 1500.1, program: [], toleranceNm: 0.1 + 0.2 },
  })
  seen.push(await allOf(engine, studyId))

  for (const state of seen.slice(0, -1).reverse()) {
    expect((await engine.ok('history.undo', { studyId })).label).not.toBeNull()
    expect(await allOf(engine, studyId)).toEqual(state)
  }
  for (const state of seen.slice(1)) {
    expect((await engine.ok('history.redo', { studyId })).label).not.toBeNull()
    expect(await allOf(engine, studyId)).toEqual(state)
  }
  expect(await engine.ok('history.redo', { studyId })).toMatchObject({ label: null })
})

test('undo takes a run back to planned and keeps the readings as withdrawn', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  await engine.ok('bench.enterReadings', { runId: runs[0]!.id, unit: 'nm', readings: typed(['1500']) })
  expect(await engine.ok('history.undo', { studyId })).toMatchObject({ label: 'Entered a reading of W01' })
  expect((await engine.ok('bench.runs', { studyId }))[0]).toMatchObject({ state: 'planned', readings: 0 })
  const db = new Sqlite(engine.file, { readonly: true })
  expect(db.prepare('SELECT text, withdrawn FROM reading').all()).toEqual([{ text: '1500', withdrawn: 1 }])
  db.close()
})

test('undo and redo reach across a restart', async () => {
  const before = await testEngine()
  const { studyId, runs } = await plannedStudy(before)
  await before.ok('bench.enterReadings', { runId: runs[0]!.id, unit: 'nm', readings: typed(['1500']) })
  const full = await allOf(before, studyId)
  await before.ok('history.undo', { studyId })
  await before.engine.close()
  const after = await testEngine({ databaseFile: before.file })
  expect((await after.ok('history.list', { studyId })).map((step) => step.state)).toEqual([
    'undone',
    'done',
    'done',
  ])
  await after.ok('history.redo', { studyId })
  expect(await allOf(after, studyId)).toEqual(full)
})

test('a new step ends the possibility to redo, and only in its own study', async () => {
  const engine = await testEngine()
  const { ok } = engine
  const one = await ok('studies.create', { study: { name: 'One' } })
  const two = await ok('studies.create', { study: { name: 'Two' } })
  for (const { studyId } of [one, two]) {
    await ok('studies.update', { studyId, change: { question: 'How even?' } })
    await ok('history.undo', { studyId })
  }
  await ok('studies.update', { studyId: one.studyId, change: { resist: 'K-15' } })
  expect(await ok('history.redo', { studyId: one.studyId })).toMatchObject({ label: null })
  expect(await ok('history.redo', { studyId: two.studyId })).toMatchObject({ label: 'Changed the study' })
  expect(await ok('history.list', { studyId: one.studyId })).toMatchObject([
    { label: 'Changed the study', state: 'done' },
    { label: 'Changed the study', state: 'undone' },
    { label: 'Made the study ‘One’', state: 'done' },
  ])
})

test('making a study can be taken back as well', async () => {
  const { ok, refused } = await testEngine()
  const { studyId } = await ok('studies.create', { study: { name: 'One' } })
  expect(await ok('history.undo', { studyId })).toMatchObject({ label: 'Made the study ‘One’' })
  expect(await ok('studies.list', {})).toEqual([])
  expect(await refused('studies.get', { studyId })).toMatchObject([{ code: 'noSuchStudy' }])
  expect(await ok('history.undo', { studyId })).toMatchObject({ label: null })
  await ok('history.redo', { studyId })
  expect(await ok('studies.get', { studyId })).toMatchObject({ name: 'One' })
})

test('what changes nothing is no step, and does not end redo', async () => {
  const { ok } = await testEngine()
  const { studyId } = await ok('studies.create', { study: { name: 'One' } })
  await ok('studies.update', { studyId, change: { resist: 'K-15' } })
  await ok('history.undo', { studyId })
  await ok('studies.update', { studyId, change: { name: 'One' } })
  await ok('studies.update', { studyId, change: {} })
  expect(await ok('history.list', { studyId })).toHaveLength(2)
  expect(await ok('history.redo', { studyId })).toMatchObject({ label: 'Changed the study' })
})

test('every change of every table is on record: who, when, before and after', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  await engine.ok('bench.updateRun', { runId: runs[0]!.id, change: { note: 'edge chipped' } })
  const db = new Sqlite(engine.file, { readonly: true })
  const last = db
    .prepare('SELECT * FROM change JOIN step ON step.id = change.step ORDER BY change.id DESC LIMIT 1')
    .get() as Record<string, string>
  expect(last).toMatchObject({ tableName: 'run', rowId: runs[0]!.id, call: 'bench.updateRun', studyId })
  expect(JSON.parse(last.before!).note).toBe('')
  expect(JSON.parse(last.after!).note).toBe('edge chipped')
  expect(Date.parse(last.at!)).toBeGreaterThan(Date.now() - 60_000)
  expect(typeof last.who).toBe('string')
  const tables = db
    .prepare(`SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite!_%' ESCAPE '!'`)
    .pluck()
    .all() as string[]
  const triggers = db
    .prepare(`SELECT name FROM sqlite_schema WHERE type = 'trigger'`)
    .pluck()
    .all() as string[]
  const unrecorded = [
    'step',
    'writing',
    'change',
    'answered',
    'importing',
    'importText',
    'tracePoints',
    'runSummary',
  ]
  for (const table of tables.filter((name) => !unrecorded.includes(name)))
    for (const event of ['INSERT', 'UPDATE', 'DELETE']) expect(triggers).toContain(`record ${event} ${table}`)
  db.close()
})

test('two engines on one file agree: each tells of what the other wrote', async () => {
  const file = (await testEngine()).file
  const heard: string[] = []
  const one = await testEngine({ databaseFile: file, onChanged: () => heard.push('one') })
  const two = await startEngine({ databaseFile: file, onChanged: () => heard.push('two') })
  const { studyId } = await one.ok('studies.create', { study: { name: 'Shared' } })
  expect(heard).toEqual(['one'])
  await expect.poll(() => heard, { timeout: 3000 }).toEqual(['one', 'two'])
  const seen = await two.call('studies.get', { studyId })
  expect(seen).toMatchObject({ ok: true, value: { name: 'Shared' } })
  await two.call('studies.update', { studyId, change: { name: 'Renamed' } })
  await expect.poll(() => heard, { timeout: 3000 }).toEqual(['one', 'two', 'two', 'one'])
  expect(await one.ok('history.undo', { studyId })).toMatchObject({ label: 'Changed the study' })
  await two.close()
})

test('a study whose making was taken back can be made again, also where nothing is in hand', async () => {
  const { ok } = await testEngine()
  const make = (name: string) => ok('studies.create', { study: { name } })
  const names = async () => (await ok('studies.list', {})).map(({ name }) => name)
  const first = await make('A')
  const second = await make('B')
  await ok('studies.update', { studyId: first.studyId, change: { targetNm: 900 } })
  expect(await ok('history.undo', { studyId: first.studyId })).toMatchObject({ studyId: first.studyId })
  expect(await ok('history.undo', second)).toMatchObject({ studyId: null })
  expect(await ok('history.undo', first)).toMatchObject({ studyId: null })
  expect(await names()).toEqual([])

  const nowhere = { studyId: null }
  expect((await ok('history.list', nowhere)).map(({ state }) => state)).toEqual(['undone', 'undone'])
  expect(await ok('history.redo', nowhere)).toMatchObject({ studyId: first.studyId })
  expect(await names()).toEqual(['A'])
  expect((await ok('history.redo', first)).label).not.toBeNull()
  expect(await ok('history.redo', nowhere)).toMatchObject({ studyId: second.studyId })
  expect((await names()).sort()).toEqual(['A', 'B'])
  expect(await ok('history.redo', nowhere)).toEqual({ label: null, studyId: null })
})
