import Sqlite from 'better-sqlite3'
import Papa from 'papaparse'
import { expect, test } from 'vitest'
import { stepsSql } from '../../electron/engine/store/history.ts'
import type { ToldStep } from '../../shared/contract/results/history.ts'
import { changeWords } from '../../shared/history/change-words.ts'
import { type TestEngine, testEngine } from './engine-in-folder.ts'
import { rawIn } from './raw-words.ts'
import { demoStudy, plannedStudy } from './studies-for-tests.ts'

const typed = (texts: string[]) => texts.map((text, i) => ({ site: i + 1, text }))

/** The newest step, its changes as sentences. */
async function newest({ ok }: TestEngine, studyId: string, runId?: string) {
  const { steps } = await ok('history.read', { studyId, runId, limit: 1 })
  const [step] = steps as [ToldStep]
  return { label: step.label, kind: step.kind, undone: step.undone, said: step.changes.map(changeWords) }
}

test('readings of one entry are one line, a correction says from what to what', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const runId = runs[0]!.id
  const enter = (readings: { site: number; text: string }[]) =>
    engine.ok('bench.enterReadings', { runId, unit: 'nm', readings })
  const { readingIds } = await enter(typed(['1500', '1510.25', '1490']))
  expect((await newest(engine, studyId)).said).toEqual([
    '3 readings of W01 (site 1, site 2, site 3), thickness taken: 1500 nm, 1510.25 nm, 1490 nm',
    'run W01, state: planned → coated',
    expect.stringMatching(/^run W01, coated at: nothing → \d{4}-\d\d-\d\d \d\d:\d\d UTC$/),
  ])
  await enter([{ site: 2, text: '1511' }])
  expect((await newest(engine, studyId)).said).toEqual([
    'reading at site 2 of W01, thickness: 1510.25 nm → 1511 nm',
  ])
  await engine.ok('bench.excludeReading', { readingId: readingIds[0]!, reason: 'comet' })
  expect((await newest(engine, studyId)).said).toEqual([
    'reading at site 1 of W01, left out because: nothing → comet',
  ])
  await engine.ok('bench.includeReading', { readingId: readingIds[0]! })
  expect((await newest(engine, studyId, runId)).said).toEqual([
    'reading at site 1 of W01, left out because: comet → nothing',
  ])
})

test('settings, programs and what really happened are told key by key with their units', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const { id: runId, settings } = runs[0]!
  await engine.ok('bench.updateRun', {
    runId,
    change: { settings: { ...settings, speed: 2500 }, actual: { humidity: 41.5, lidOpen: true }, lot: 'B' },
  })
  expect((await newest(engine, studyId)).said).toEqual([
    `run W01, speed: ${settings.speed} rpm → 2500 rpm`,
    'run W01, lot: A → B',
    'run W01, room humidity: nothing → 41.5 %',
    'run W01, lid was open: nothing → yes',
  ])
  const { program } = await engine.ok('studies.get', { studyId })
  const changed = program.map((segment, i) => (i === 1 ? { ...segment, rpm: segment.rpm + 100 } : segment))
  await engine.ok('studies.update', { studyId, change: { program: changed, targetNm: null } })
  expect((await newest(engine, studyId)).said).toEqual([
    'study, target thickness: 1500 nm → nothing',
    `study, segment 2, speed: ${program[1]!.rpm} rpm → ${program[1]!.rpm + 100} rpm`,
  ])
})

test('undo and redo are told, and what they undid is marked', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  await engine.ok('bench.enterReadings', {
    runId: runs[0]!.id,
    unit: 'nm',
    readings: typed(['1500', '1510']),
  })
  await engine.ok('history.undo', { studyId })
  const undid = await newest(engine, studyId)
  expect(undid).toMatchObject({ kind: 'undo', undone: false, label: 'Undid: Entered 2 readings of W01' })
  expect(undid.said).toContain('2 readings of W01 (site 2, site 1), thickness taken away: 1510 nm, 1500 nm')
  const { steps } = await engine.ok('history.read', { studyId })
  expect(steps.map(({ undone }) => undone)).toEqual([false, true, false, false])
  await engine.ok('history.redo', { studyId })
  const redid = await newest(engine, studyId)
  expect(redid.kind).toBe('redo')
  expect(redid.said).toContain('2 readings of W01 (site 1, site 2), thickness brought back: 1500 nm, 1510 nm')
})

test('an import is one line, in the study and in each run that it touched', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const text = `run,site,thickness (nm)\nW01,1,1500\nW01,2,1510\nW02,1,1490\n`
  await engine.ok('imports.commit', { studyId, fileName: 'films.csv', text })
  const said = ['import of ‘films.csv’ added: 2 runs, 3 readings']
  expect((await newest(engine, studyId)).said).toEqual(said)
  expect((await newest(engine, studyId, runs[0]!.id)).said).toEqual(said)
  const other = await newest(engine, studyId, runs[4]!.id)
  expect(other.said.join()).not.toContain('films')
  await engine.ok('history.undo', { studyId })
  expect((await newest(engine, studyId)).said).toEqual([
    'import of ‘films.csv’ taken away: 2 runs, 3 readings',
  ])
})

/** Every step by pages of so many. */
async function allPages({ ok }: TestEngine, studyId: string, limit: number, runId?: string) {
  const steps: ToldStep[] = []
  let before: number | undefined
  for (;;) {
    const page = await ok('history.read', { studyId, runId, limit, before })
    steps.push(...page.steps)
    if (page.before === null) return steps
    expect(page.steps).toHaveLength(limit)
    before = page.before
  }
}

test('pages are complete and without doubles, and a run’s history holds just what touched the run', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const [one, other] = [runs[0]!, runs[1]!]
  const enter = (runId: string, texts: string[]) =>
    engine.ok('bench.enterReadings', { runId, unit: 'nm', readings: typed(texts) })
  await enter(one.id, ['1500', '1501'])
  await enter(other.id, ['1600'])
  await engine.ok('bench.updateRun', { runId: one.id, change: { note: 'edge chipped' } })
  await engine.ok('bench.updateRun', { runId: other.id, change: { note: 'comet' } })
  await engine.ok('studies.update', { studyId, change: { question: 'How even?' } })
  await engine.ok('bench.exchangeReadings', { runId: one.id, otherRunId: other.id, reason: 'swapped' })
  await engine.ok('history.undo', { studyId })
  const whole = await allPages(engine, studyId, 200)
  for (const limit of [1, 2, 3, 7]) expect(await allPages(engine, studyId, limit)).toEqual(whole)
  expect(new Set(whole.map(({ id }) => id)).size).toBe(whole.length)
  expect(whole.map(({ id }) => id)).toEqual(whole.map(({ id }) => id).sort((a, b) => b - a))
  const ofOne = await allPages(engine, studyId, 2, one.id)
  expect(ofOne.map(({ label }) => label)).toEqual([
    'Undid: Exchanged the readings of W01 and W02: swapped',
    'Exchanged the readings of W01 and W02: swapped',
    'Changed the note of W01',
    'Entered 2 readings of W01',
    expect.stringContaining('lan'),
  ])
  const planned = ofOne.at(-1)!.changes
  expect(planned.map(({ thing }) => thing)).toEqual(['run W01'])
  expect((await engine.refused('history.read', { studyId: null, runId: one.id }))[0]!.code).toBe('noSuchRun')
})

test('the steps of a study and of a run are found by indices alone', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await demoStudy(engine)
  const db = new Sqlite(engine.file, { readonly: true })
  const given = { studyId, runId: runs[0]!.id, before: 1e9, limit: 10 }
  for (const sql of Object.values(stepsSql)) {
    const plan = db.prepare(`EXPLAIN QUERY PLAN ${sql}`).all(given) as { detail: string }[]
    const scans = plan
      .map(({ detail }) => detail)
      .filter((detail) => /^SCAN (?!touching|\(?subquery)/i.test(detail))
    expect(scans.filter((detail) => /\b(step|change|reading|trace)\b/.test(detail))).toEqual([])
  }
  db.close()
})

test('the exported history has a row for each change, and nothing in it is run as a formula', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const runId = runs[0]!.id
  await engine.ok('bench.enterReadings', { runId, unit: 'nm', readings: typed(['1500', '1510']) })
  await engine.ok('bench.updateRun', { runId, change: { note: '=1+1' } })
  await engine.ok('history.undo', { studyId })
  const { text, fileName } = await engine.ok('reports.historyCsv', { studyId })
  expect(fileName).toBe('Sweep history.csv')
  const rows = Papa.parse<Record<string, string>>(text.replace('\uFEFF', '').trim(), { header: true }).data
  expect(Object.keys(rows[0]!)).toEqual('time who step thing change field from to undone'.split(' '))
  const note = rows.filter(({ field }) => field === 'note')
  expect(note).toMatchObject([
    { step: 'Undid: Changed the note of W01', thing: 'run W01', from: "'=1+1", to: '', undone: '' },
    { step: 'Changed the note of W01', from: '', to: "'=1+1", undone: 'undone' },
  ])
  expect(rows.filter(({ thing }) => thing!.startsWith('reading at')).map(({ to }) => to)).toEqual([
    '1500 nm',
    '1510 nm',
  ])
})

test('the demo, its practice and what is done with its tools are told without a raw name', async () => {
  const engine = await testEngine()
  const { ok } = engine
  const { studyId, runs } = await demoStudy(engine)
  const study = await ok('studies.get', { studyId })
  const gauge = study.gauge!
  await ok('tools.saveGauge', { studyId, gauge: { ...gauge, repeatability: 1.25, rangeLow: 100 } })
  await ok('sessions.keep', {
    studyId,
    session: {
      name: '7',
      day: '2026-03-02',
      operator: 'K',
      roomTemperature: 21,
      humidity: 40,
      bottleId: null,
      note: '',
    },
  })
  await ok('sessions.keepVisit', {
    studyId,
    visit: { number: 1, display: 100, surface: 98.5, setAt: '08:30', note: '' },
  })
  const { id: bottleId } = await ok('bottles.keep', {
    studyId,
    bottle: { name: 'B1', resist: 'K-15', lot: 'A', sizeMl: 500, expires: '', openedFirst: '' },
  })
  await ok('studies.update', {
    studyId,
    change: { bottleId, plateAtStart: 'set beforehand', lots: ['A', 'B', 'C'] },
  })
  await ok('bench.updateRun', {
    runId: runs[0]!.id,
    change: { substrate: 'S-1', steps: [{ name: 'prime', minutes: 3, note: '', shows: 'nothing' }] },
  })
  await ok('bench.updateRun', { runId: runs[0]!.id, change: { state: 'failed', defect: 'comet' } })
  await ok('studies.setArchived', { studyId, archived: true })
  const { steps } = await ok('history.read', { studyId, limit: 200 })
  const said = steps.flatMap(({ changes }) => changes.map(changeWords))
  expect(rawIn(engine.file, said)).toEqual([])
  for (const step of steps) expect(step.changes.length, step.label).toBeGreaterThan(0)
  expect(said).toContain('study, bottle: nothing → B1')
  expect(said).toContainEqual(expect.stringMatching(/^study, plate at the start: .* → set beforehand$/))
  expect(said).toContain('run W01, step 1, name: nothing → prime')
  expect(said).toContain('run W01, substrate: nothing → S-1')
})
