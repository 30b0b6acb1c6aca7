import { expect, test } from 'vitest'
import type { Reading } from '../../shared/contract/things.ts'
import { type TestEngine, testEngine } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

/** Everything that runs and readings say, without the identifiers of this database. */
async function contentOf({ ok }: TestEngine, studyId: string) {
  const { stages, factors, lots } = await ok('studies.get', { studyId })
  const titles = new Map(stages.map(({ id, title }) => [id, title]))
  const runs = []
  for (const { id, studyId: _, stageId, ...run } of await ok('bench.runs', { studyId })) {
    const { readings } = await ok('bench.card', { runId: id })
    runs.push({ ...run, stage: titles.get(stageId), own: readings.map(withoutIds) })
  }
  return { runs, lots, factors: factors.map(({ name, unit, kind }) => ({ name, unit, kind })) }
}

const withoutIds = ({ id: _, runId: __, supersedes: ___, ...reading }: Reading) => reading

/** Exports a study and imports both files into a new one. */
async function throughCsv(engine: TestEngine, studyId: string) {
  const runs = await engine.ok('reports.runsCsv', { studyId })
  const readings = await engine.ok('reports.readingsCsv', { studyId })
  const copy = (await engine.ok('studies.create', { study: { name: 'Copy' } })).studyId
  const preview = await engine.ok('imports.preview', { studyId: copy, ...runs })
  expect(preview.problems).toEqual([])
  expect(preview.readings).toBe(0)
  await engine.ok('imports.commit', { studyId: copy, ...runs })
  await engine.ok('imports.commit', { studyId: copy, ...readings })
  return { copy, runs, readings }
}

test('runs and readings come back through our own files without loss', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const [a, b, c, d, e, f] = runs.map((run) => run.id) as [string, string, string, string, string, string]
  const enter = (runId: string, texts: string[], more = {}) =>
    engine.ok('bench.enterReadings', {
      runId,
      unit: 'nm',
      readings: texts.map((text, i) => ({ site: i + 1, text })),
      ...more,
    })
  const first = await enter(a, ['1500,1', '1.5013 µm', '15015 Å', '1499.95', '0', '-1', '1502.125'])
  await engine.ok('bench.excludeReading', {
    readingId: first.readingIds[3]!,
    reason: '=comet, "low"; at the rim',
  })
  await enter(a, ['1500,2'])
  await enter(b, ['1490'])
  await engine.ok('bench.enterReadings', {
    runId: b,
    unit: 'MPa',
    quantity: 'stress',
    readings: [{ site: null, text: '-12,5' }],
  })
  await engine.ok('bench.enterReadings', {
    runId: c,
    unit: 'µm',
    readings: [{ site: null, xMm: -31.1126983722, yMm: 1 / 3, text: '1.2345678901234567' }],
  })
  await engine.ok('bench.updateRun', {
    runId: a,
    change: { lot: 'B', session: '2026-03-02', note: '  -lid open\nfor 3 s ' },
  })
  await engine.ok('bench.updateRun', { runId: b, change: { excluded: '@wrong chuck', lot: null } })
  await engine.ok('bench.updateRun', {
    runId: c,
    change: { settings: { speed: 2000.1 + 0.2, time: 20, bake: 90 } },
  })
  await engine.ok('bench.updateRun', { runId: d, change: { state: 'dropped', note: '+fell' } })
  const everyActual = {
    speed: 3010.5,
    ramp: 990,
    time: 39,
    bakeDisplay: 101,
    bakeSurface: -0.5,
    bakeTime: 58,
    roomTemperature: 21.25,
    humidity: 44,
    minutesSinceSet: 12,
    waferSinceClean: 3,
    lidOpen: true,
    operator: '007',
    deviation: '  =lid, "open"\nfor 3 s',
  }
  await engine.ok('bench.updateRun', {
    runId: e,
    change: {
      state: 'failed',
      defect: '-comet, streak',
      actual: { ...everyActual, deviation: everyActual.deviation.trim() },
      substrate: '12',
      steps: [{ name: 'Soft bake', minutes: 1.5, note: 'on metal, "flat"', shows: 'bake' }],
      stepsDone: { 'Soft bake': '2026-03-02T10:00:00.000Z' },
    },
  })
  await engine.ok('bench.updateRun', { runId: f, change: { actual: { lidOpen: false }, substrate: 'S-1' } })
  await engine.ok('plans.addRun', {
    studyId,
    settings: { speed: 3100, time: 30, bake: 100 },
    lot: '1.5',
    note: '',
  })

  const before = await contentOf(engine, studyId)
  const { copy, runs: file, readings } = await throughCsv(engine, studyId)
  const after = await contentOf(engine, copy)
  expect(after.runs).toEqual(before.runs)
  expect(after.factors).toEqual(before.factors)
  expect(new Set(after.lots)).toEqual(new Set(['A', 'B', '1.5']))

  // No cell of text can be run as a formula, and numbers stand as numbers.
  for (const text of [file.text, readings.text]) {
    expect(text.startsWith('\uFEFF')).toBe(true)
    const cells = text.split(/[,\r\n]/).map((cell) => cell.replace(/^"/, ''))
    for (const cell of cells.filter((cell) => /^[=+\-@]/.test(cell))) expect(Number(cell)).not.toBeNaN()
  }
  expect(file.text).toContain("'+fell")
  expect(readings.text).toContain(',-31.1126983722,')
})

test('a study of several stages with different factors comes back too', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const readings = [{ site: 1, text: '1500' }]
  await engine.ok('bench.enterReadings', { runId: runs[0]!.id, unit: 'nm', readings })
  const ramp = {
    name: 'ramp',
    role: 'ramp',
    unit: 'rpm/s',
    kind: 'continuous',
    low: 500,
    high: 2000,
    levels: 2,
  } as const
  const primer = {
    name: 'primer',
    role: 'other',
    unit: '',
    kind: 'categorical',
    low: null,
    high: null,
    levels: 2,
  } as const
  const common = { step: null, scale: 'linear', hardToChange: false } as const
  await engine.ok('plans.save', {
    studyId,
    factors: [
      { ...ramp, ...common, levelNames: [] },
      { ...primer, ...common, levelNames: ['not set', '=none'].slice(1).concat('vapour') },
    ],
    design: { kind: 'full', replicates: 1, centre: 0, blocks: 1, seed: 3, sigma: null, power: 0.8 },
  })
  const before = await contentOf(engine, studyId)
  const { copy } = await throughCsv(engine, studyId)
  const after = await contentOf(engine, copy)
  expect(after.runs).toEqual(before.runs)
  expect(after.runs.at(-1)?.settings).toHaveProperty('primer')
  expect(after.runs.at(-1)?.settings).not.toHaveProperty('speed')
})

test('the same files into the same study change nothing', async () => {
  const engine = await testEngine()
  const { studyId } = await engine.ok('studies.demo', { seed: 7 })
  const before = await contentOf(engine, studyId)
  for (const name of ['reports.runsCsv', 'reports.readingsCsv'] as const) {
    const file = await engine.ok(name, { studyId })
    const preview = await engine.ok('imports.preview', { studyId, ...file })
    expect(preview).toMatchObject({ newRuns: 0, readings: 0, problems: [], corrected: [] })
    await engine.ok('imports.commit', { studyId, ...file })
  }
  expect(await contentOf(engine, studyId)).toEqual(before)
})

test('files of an invented study say so in their name and in every row', async () => {
  const engine = await testEngine()
  const { studyId } = await engine.ok('studies.demo', {})
  for (const name of ['reports.runsCsv', 'reports.readingsCsv'] as const) {
    const { fileName, text } = await engine.ok(name, { studyId })
    expect(fileName).toMatch(/\(simulated\).*\.csv$/)
    expect(fileName).not.toMatch(/[\\/:*?"<>|]/)
    const rows = text.trim().split('\r\n')
    expect(rows.length).toBeGreaterThan(20)
    for (const row of rows) expect(row).toMatch(/,simulated$/)
  }
})

test('a file that went through a spreadsheet with decimal commas still comes back', async () => {
  const engine = await testEngine()
  const { studyId } = await engine.ok('studies.demo', { seed: 7 })
  const before = await contentOf(engine, studyId)
  // As such a spreadsheet saves it: semicolons, decimal commas in numbers, no byte-order mark.
  const asSaved = (text: string) =>
    text
      .replace('\uFEFF', '')
      .split('\r\n')
      .map((row) =>
        row
          .split(',')
          .map((cell) => (/^-?\d+\.\d+$/.test(cell) ? cell.replace('.', ',') : cell))
          .join(';'),
      )
      .join('\r\n')
  const copy = (await engine.ok('studies.create', { study: { name: 'Copy' } })).studyId
  for (const name of ['reports.runsCsv', 'reports.readingsCsv'] as const) {
    const { fileName, text } = await engine.ok(name, { studyId })
    await engine.ok('imports.commit', { studyId: copy, fileName, text: asSaved(text) })
  }
  const after = await contentOf(engine, copy)
  const values = (runs: typeof before.runs) =>
    runs.map(({ code, settings, own }) => ({
      code,
      settings,
      values: own.map(({ value, site, xMm, yMm }) => [value, site, xMm, yMm]),
    }))
  expect(values(after.runs)).toEqual(values(before.runs))
})
