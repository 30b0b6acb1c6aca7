import { expect, test } from 'vitest'
import { testEngine } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

const typed = (texts: string[]) => texts.map((text, i) => ({ site: i + 1, text }))
const nine = ['1500.1', '1501', '1499,5', '1502', '1498', '1497', '1503', '1500', '1501.5']

test('the run card holds program, check, sites and neighbours', async () => {
  const engine = await testEngine()
  const { runs } = await plannedStudy(engine)
  const run = runs[1]!
  const card = await engine.ok('bench.card', { runId: run.id })
  expect(card).toMatchObject({
    place: 2,
    of: 18,
    previous: runs[0]!.id,
    next: runs[2]!.id,
    readings: [],
    film: null,
  })
  expect(card.program).toEqual([
    { rpm: 500, ramp: 500, time: 5 },
    { rpm: run.settings.speed, ramp: 1000, time: run.settings.time },
  ])
  expect(card.bake).toEqual({ display: run.settings.bake, surface: run.settings.bake, time: 60 })
  expect(card.check.ok).toBe(true)
  expect(card.sites).toHaveLength(9)
  expect(card.cautions.length).toBeGreaterThan(3)
  expect(card.profile.at(-1)?.time).toBe(5 + (run.settings.time as number))
})

test('readings are kept as typed beside their value in nm, and the run is measured', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const runId = runs[0]!.id
  const readings = typed([...nine.slice(0, 7), '1.5 µm', '15015 Å'])
  const entry = await engine.ok('bench.enterReadings', { runId, unit: 'nm', readings })
  expect(entry.warnings).toEqual([])
  const card = await engine.ok('bench.card', { runId })
  expect(card.run.state).toBe('measured')
  expect(card.readings.map((r) => r.value)).toEqual([
    1500.1, 1501, 1499.5, 1502, 1498, 1497, 1503, 1500, 1501.5,
  ])
  expect(card.readings[2]).toMatchObject({ site: 3, text: '1499,5', unit: 'nm', quantity: 'thickness' })
  expect(card.readings[7]).toMatchObject({ text: '1.5 µm', unit: 'µm' })
  expect(card.readings[8]).toMatchObject({ text: '15015 Å', unit: 'Å' })
  expect([card.readings[5]?.xMm, card.readings[5]?.yMm]).toEqual([card.sites[5]?.xMm, card.sites[5]?.yMm])
  expect(card.film).toMatchObject({ n: 9, id: 'W01' })
  expect(card.film?.mean).toBeCloseTo(13502.1 / 9, 10)
  expect((await engine.ok('studies.list', {}))[0]).toMatchObject({
    runsPlanned: 17,
    runsMeasured: 1,
    id: studyId,
  })
})

test('one bad reading keeps out all of them, and every bad one is named', async () => {
  const engine = await testEngine()
  const { runs } = await plannedStudy(engine)
  const runId = runs[0]!.id
  const readings = [
    ...typed(['1500', '12..5', '1500 mm']),
    { site: 10, text: '1500' },
    { site: 1, text: '1.234,5' },
  ]
  const problems = await engine.refused('bench.enterReadings', { runId, unit: 'nm', readings })
  expect(problems.map((p) => [p.code, p.row, p.column])).toEqual([
    ['notANumber', 2, 'site 2'],
    ['unknownUnit', 3, 'site 3'],
    ['noSuchSite', 4, 'site 10'],
    ['ambiguousNumber', 5, 'site 1'],
    ['duplicateSite', 5, 'site 1'],
  ])
  expect(await engine.ok('bench.card', { runId })).toMatchObject({ readings: [], run: { state: 'planned' } })
})

test('a correction supersedes; what it corrects is kept', async () => {
  const engine = await testEngine()
  const { runs } = await plannedStudy(engine)
  const runId = runs[0]!.id
  const first = await engine.ok('bench.enterReadings', { runId, unit: 'nm', readings: typed(nine) })
  const again = await engine.ok('bench.enterReadings', {
    runId,
    unit: 'nm',
    readings: [
      { site: 3, text: '1510' },
      { site: 4, text: '1502' },
    ],
  })
  // Site 4 was typed as it stood: nothing new.
  expect(again.readingIds[1]).toBe(first.readingIds[3])
  const { readings } = await engine.ok('bench.card', { runId })
  expect(readings).toHaveLength(9)
  expect(readings[2]).toMatchObject({ id: again.readingIds[0], value: 1510, supersedes: first.readingIds[2] })
  const third = await engine.ok('bench.enterReadings', {
    runId,
    unit: 'nm',
    readings: [{ site: 3, text: '1511' }],
  })
  expect((await engine.ok('bench.card', { runId })).readings[2]).toMatchObject({
    value: 1511,
    supersedes: again.readingIds[0],
  })
  expect(
    await engine.refused('bench.excludeReading', { readingId: again.readingIds[0], reason: 'comet' }),
  ).toMatchObject([{ code: 'noSuchReading' }])
  await engine.ok('bench.excludeReading', { readingId: third.readingIds[0]!, reason: 'comet' })
})

test('an exclusion is a mark with a reason, and can be lifted', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const runId = runs[0]!.id
  const entered = await engine.ok('bench.enterReadings', {
    runId,
    unit: 'nm',
    readings: typed([...nine.slice(0, 8), '1440']),
  })
  const readingId = entered.readingIds[8]!
  await engine.ok('bench.excludeReading', { readingId, reason: ' comet at the rim ' })
  expect((await engine.ok('bench.runs', { studyId }))[0]).toMatchObject({ readings: 9, leftOut: 1 })
  const card = await engine.ok('bench.card', { runId })
  expect(card.readings[8]).toMatchObject({ value: 1440, excluded: 'comet at the rim' })
  expect(card.film).toMatchObject({ n: 8, excluded: [{ row: 9, reason: 'comet at the rim' }] })
  await engine.ok('bench.includeReading', { readingId })
  expect((await engine.ok('bench.card', { runId })).film).toMatchObject({ n: 9, excluded: [] })
  const steps = await engine.ok('history.list', { studyId })
  expect(steps.map((step) => step.label).slice(0, 3)).toEqual([
    'Included site 9 of W01 again',
    'Excluded site 9 of W01: comet at the rim',
    'Entered 9 readings of W01',
  ])
  expect((await engine.refused('bench.excludeReading', { readingId, reason: '  ' }))[0]?.code).toBe(
    'badArgument',
  )
})

test('another quantity is kept in its own unit beside the film', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const runId = runs[0]!.id
  const stress = { runId, quantity: 'stress', unit: 'MPa' }
  await engine.ok('bench.enterReadings', { ...stress, readings: [{ site: null, text: '-12,5' }] })
  await engine.ok('bench.enterReadings', { ...stress, readings: [{ site: null, text: '-13' }] })
  expect((await engine.ok('bench.runs', { studyId }))[0]).toMatchObject({
    responses: { stress: -13 },
    film: null,
    readings: 1,
  })
})

test('a state that the readings contradict is refused', async () => {
  const engine = await testEngine()
  const { runs } = await plannedStudy(engine)
  const [first, second] = runs.map((run) => run.id) as [string, string]
  const update = (runId: string, state: string) => ({ runId, change: { state } })
  expect(await engine.refused('bench.updateRun', update(first, 'measured'))).toMatchObject([
    { code: 'stateAgainstReadings' },
  ])
  await engine.ok('bench.enterReadings', { runId: first, unit: 'nm', readings: typed(nine) })
  expect(await engine.refused('bench.updateRun', update(first, 'planned'))).toMatchObject([
    { code: 'stateAgainstReadings' },
  ])
  await engine.ok('bench.updateRun', { runId: second, change: { state: 'dropped', note: 'fell' } })
  const readings = typed(nine)
  expect(await engine.refused('bench.enterReadings', { runId: second, unit: 'nm', readings })).toMatchObject([
    { code: 'runDropped' },
  ])
  await engine.ok('bench.updateRun', { runId: second, change: { state: 'coated', excluded: 'lid was open' } })
  expect((await engine.ok('bench.card', { runId: second })).run).toMatchObject({
    note: 'fell',
    excluded: 'lid was open',
  })
})

test('a slip of the unit is pointed out and never converted', async () => {
  const engine = await testEngine()
  const { runs } = await plannedStudy(engine)
  const [a, b, c] = runs.map((run) => run.id) as [string, string, string]
  const enter = (runId: string, texts: string[]) =>
    engine.ok('bench.enterReadings', { runId, unit: 'nm', readings: typed(texts) })
  // One site in micrometres among nanometres.
  const single = await enter(a, [...nine.slice(0, 8), '1.504'])
  expect(single.warnings).toMatchObject([{ code: 'unitSlip', row: 9, column: 'site 9' }])
  expect(single.warnings[0]?.message).toContain('Was it read in µm? ‘1.504’ µm is 1504 nm.')
  expect((await engine.ok('bench.card', { runId: a })).readings[8]?.value).toBe(1.504)
  // A whole wafer in ångström: only the target of 1500 nm tells.
  const whole = await enter(
    b,
    nine.map((_, i) => String(15040 + i)),
  )
  expect(whole.warnings).toHaveLength(1)
  expect(whole.warnings[0]?.message).toMatch(/^These 9 readings: about 10 times .* Was it read in Å\?/)
  // Its correction is no slip, though the readings it replaces are.
  expect((await enter(b, nine)).warnings).toEqual([])
  // Thin and thick films of a sweep are none either.
  expect(
    (
      await enter(
        c,
        nine.map(() => '2300'),
      )
    ).warnings,
  ).toEqual([])
  const zero = await enter(c, ['0', '-1'])
  expect(zero.warnings.map((p) => [p.code, p.row])).toEqual([
    ['notPositive', 1],
    ['notPositive', 2],
  ])
  const { readings } = await engine.ok('bench.card', { runId: c })
  expect(readings.slice(0, 3).map(({ value, excluded }) => [value, excluded])).toEqual([
    [0, 'The reading is zero.'],
    [-1, 'The reading is negative.'],
    [2300, null],
  ])
})
