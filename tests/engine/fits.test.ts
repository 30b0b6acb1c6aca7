import { expect, test } from 'vitest'
import { presentOf } from '../../electron/engine/compute/study-data.ts'
import { demoEngine } from './demo-engine.ts'
import { testEngine } from './engine-in-folder.ts'
import { demoStudy } from './studies-for-tests.ts'

const everySite = (text: string) => Array.from({ length: 9 }, (_, i) => ({ site: i + 1, text }))

test('the demo study is an invented film, filled in, and the same for the same seed', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await demoStudy(engine)
  const study = await engine.ok('studies.get', { studyId })
  expect(study).toMatchObject({ simulated: true, targetNm: 1500, lots: ['A', 'B'] })
  expect(study.stages.map(({ kind }) => kind)).toEqual(['grid', 'grid', 'monitor'])
  expect(runs.length).toBeGreaterThanOrEqual(18)
  for (const run of runs) expect(run).toMatchObject({ state: 'measured', readings: 9 })
  const again = await engine.ok('studies.demo', { seed: 7 })
  const films = (of: typeof runs) => of.map((run) => run.film?.mean)
  expect(films(await engine.ok('bench.runs', again))).toEqual(films(runs))
  const other = await engine.ok('studies.demo', { seed: 8 })
  expect(films(await engine.ok('bench.runs', other))).not.toEqual(films(runs))
  // Its tools are made once.
  expect((await engine.ok('tools.list', {})).coaters).toHaveLength(1)
})

test('taking back the demo takes its study and tools, and leaves those that others use', async () => {
  const engine = await testEngine()
  const { studyId } = await demoStudy(engine)
  const { coaterId } = await engine.ok('studies.get', { studyId })
  const mine = await engine.ok('studies.create', { study: { name: 'Mine', coaterId } })
  await engine.ok('history.undo', { studyId })
  expect((await engine.ok('studies.list', {})).map(({ name }) => name)).toEqual(['Mine'])
  expect((await engine.ok('tools.list', {})).coaters).toEqual([])
  expect((await engine.ok('studies.get', mine)).coater?.name).toBe('C2')
  // What has been changed in a tool since is kept.
  await engine.ok('tools.saveCoater', { coater: { id: coaterId!, name: 'C2', maxSpeed: 5000 } })
  await engine.ok('history.redo', { studyId })
  expect((await engine.ok('studies.get', { studyId })).coater).toMatchObject({ name: 'C2', maxSpeed: 5000 })
  expect((await engine.ok('tools.list', {})).coaters).toHaveLength(1)
  expect(await engine.ok('bench.runs', { studyId })).toHaveLength(26 + 4 + 24)
})

test('the table holds settings, groups and responses; a run left out says why', async () => {
  const { engine, studyId, runs, question } = await demoEngine()
  const fitted = await engine.ok('fits.fit', question)
  await engine.ok('bench.updateRun', { runId: runs[3]!.id, change: { excluded: 'lid was open' } })
  const { columns, rows } = await engine.ok('fits.table', { studyId })
  expect(columns.map(({ name, unit, categorical }) => [name, unit, categorical])).toEqual([
    ['speed', 'rpm', false],
    ['time', 's', false],
    ['bake', '°C', false],
    ['lot', '', true],
    ['session', '', true],
    ['block', '', true],
    ['plateVisit', '', true],
    ['thickness', 'nm', false],
    ['non-uniformity', '%', false],
    ['bowl', '', false],
    ['ring', '', false],
    ['wedgeX', '', false],
    ['wedgeY', '', false],
  ])
  expect(rows).toHaveLength(runs.length)
  expect(rows[3]).toMatchObject({ runId: runs[3]!.id, code: runs[3]!.code, excluded: 'lid was open' })
  expect(rows[3]?.values.thickness).toBe(runs[3]!.film?.mean)
  const without = await engine.ok('fits.fit', question)
  expect(without.fit.n).toBe(fitted.fit.n - 1)
  expect(without.runIds).not.toContain(runs[3]!.id)
  expect(without.runIds).toHaveLength(without.fit.runs.length)
})

test('a result says by a hash which data it saw', async () => {
  const { engine, studyId, runs, question } = await demoEngine()
  const { dataHash } = await engine.ok('fits.fit', question)
  expect(dataHash).toMatch(/^[0-9a-f]{64}$/)
  await engine.ok('bench.updateRun', { runId: runs[0]!.id, change: { note: 'nothing that a fit sees' } })
  expect((await engine.ok('fits.fit', question)).dataHash).toBe(dataHash)
  await engine.ok('bench.enterReadings', {
    runId: runs[0]!.id,
    unit: 'nm',
    readings: [{ site: 1, text: '1500' }],
  })
  expect((await engine.ok('fits.fit', question)).dataHash).not.toBe(dataHash)
  await engine.ok('history.undo', { studyId })
  expect((await engine.ok('fits.fit', question)).dataHash).toBe(dataHash)
})

test('curve, contour and predictions agree, at the middle of the settings where none is named', async () => {
  const { engine, question } = await demoEngine()
  const at = { time: 40, bake: 100 }
  const curve = await engine.ok('fits.curve', { ...question, factor: 'speed', at })
  expect(curve.points.at(0)?.x).toBe(2000)
  expect(curve.points.at(-1)?.x).toBe(4500)
  const [low] = await engine.ok('fits.predict', { ...question, at: [{ ...at, speed: 2000 }] })
  expect(curve.points[0]).toMatchObject({ estimate: low?.estimate, prediction: low?.prediction })
  const contour = await engine.ok('fits.contour', { ...question, x: 'speed', y: 'bake', at })
  const [corner] = await engine.ok('fits.predict', {
    ...question,
    at: [{ speed: 2000, bake: contour.y.low, time: 40 }],
  })
  expect(contour.values[0]).toBe(corner?.estimate)
  expect(contour.values).toHaveLength(contour.columns * contour.rows)
  const [middle] = await engine.ok('fits.predict', { ...question, at: [{}] })
  expect(middle?.at).toMatchObject({ speed: 3250, time: 40, bake: 100 })
  expect(await engine.refused('fits.curve', { ...question, factor: 'lot', at })).toMatchObject([
    { code: 'noRange' },
  ])
})

test('what cannot be fitted is a sentence that names the run or the column', async () => {
  const { engine, studyId, question } = await demoEngine()
  const refused = async (more: object) => (await engine.refused('fits.fit', { ...question, ...more }))[0]
  expect(await refused({ model: 'log(thickness) ~ (speed' })).toMatchObject({ code: 'formula' })
  expect(await refused({ model: 'thickness ~ humidity' })).toMatchObject({ code: 'unknownColumn' })
  expect(await refused({ model: 'bowl ~ speed' })).toMatchObject({ code: 'otherResponse' })
  const { studyId: empty } = await engine.ok('studies.create', { study: { name: 'Empty' } })
  expect(await refused({ studyId: empty })).toMatchObject({ code: 'noData' })
  const models = await engine.ok('fits.models', { studyId: empty, response: 'thickness' })
  expect(models.responses).toEqual(['thickness'])
  // A run without one of the settings is left out by its code.
  const text = 'run,speed,thickness\nX1,3000,1500\n'
  await engine.ok('imports.commit', { studyId, fileName: 'more.csv', text })
  const { fit } = await engine.ok('fits.fit', question)
  expect(fit.problems.find(({ code }) => code === 'missingCell')?.message).toMatch(/^Run X1 is left out/)
})

test('models are compared leaving out whole plate visits, and runs are named by their codes', async () => {
  const { engine, studyId, runs, question } = await demoEngine()
  const { model, ...asked } = question
  const fitted = runs.filter(({ kind }) => kind !== 'monitor')
  const line = 'log(thickness) ~ log(speed)'
  const { models, cannotTell } = await engine.ok('fits.compareModels', { ...asked, models: [line, model] })
  expect(models.map((row) => [row.model, row.n, row.leftOut])).toEqual([
    [line, fitted.length, 'session/plateVisit'],
    [model, fitted.length, 'session/plateVisit'],
  ])
  // The invented film follows the richer model.
  expect(models[0]!.aiccAbove).toBeGreaterThan(2)
  expect(models[1]).toMatchObject({ aiccAbove: 0 })
  // Only one plate visit stood at the low bake, so without it a square of the bake cannot be told.
  expect(models[0]!.relativePredictionError).toBeGreaterThan(0)
  expect(models[1]!.relativePredictionError).toBeNull()
  expect(cannotTell.join(' ')).toMatch(
    /without the plate visit of W05, .* the term bake\^2 cannot be estimated/,
  )
  expect(cannotTell.join(' ')).toContain('runs of one plate visit may not be')
  // On its own scale a model of the logarithm has the AICc of its fit, and the Jacobian besides.
  const { fit } = await engine.ok('fits.fit', question)
  const { rows } = await engine.ok('fits.table', { studyId })
  const logs = rows
    .filter(({ monitor }) => !monitor)
    .reduce((sum, row) => sum + Math.log(row.values.thickness as number), 0)
  expect(models[1]!.aicc).toBeCloseTo(fit.aicc! + 2 * logs, 8)
  const refused = async (models: string[]) => engine.refused('fits.compareModels', { ...asked, models })
  expect(await refused(['bowl ~ speed'])).toMatchObject([{ code: 'otherResponse' }])
  expect(await refused([line, 'bowl ~ speed'])).toMatchObject([{ code: 'otherResponse' }])
  expect(await refused([])).toHaveLength(1)
})

test('the chosen model expects a thickness of the runs to come, and judges slips by it', async () => {
  const { engine, studyId, question } = await demoEngine()
  const settings = { speed: 2200, time: 50, bake: 95 }
  const { runId } = await engine.ok('plans.addRun', { studyId, settings, lot: 'A' })
  expect((await engine.ok('bench.card', { runId })).expectedNm).toBeNull()
  await engine.ok('studies.setModel', { studyId, model: question.model })
  const [expected] = await engine.ok('fits.predict', { ...question, at: [settings] })
  expect((await engine.ok('bench.card', { runId })).expectedNm).toBeCloseTo(expected!.estimate, 9)
  const readings = [1, 2, 3, 4].map((site) => ({ site, text: (expected!.estimate * 10).toFixed(0) }))
  const { warnings } = await engine.ok('bench.enterReadings', { runId, unit: 'nm', readings })
  expect(warnings).toMatchObject([{ code: 'unitSlip' }])
  // The run does not speak for itself: its own readings do not change what is expected of it.
  expect((await engine.ok('bench.card', { runId })).expectedNm).toBeCloseTo(expected!.estimate, 9)
})

test('the table of all sites is asked with the same expectations as each card', async () => {
  const { engine, studyId, question, runs } = await demoEngine()
  await engine.ok('studies.setModel', { studyId, model: question.model })
  await engine.ok('bench.updateRun', { runId: runs[3]!.id, change: { actual: { speed: 2600 } } })
  const table = (await engine.ok('bench.readings', { studyId })).runs
  expect(table).toHaveLength(runs.length)
  for (const { id, expectedNm, expectedIntervalNm } of table) {
    const card = await engine.ok('bench.card', { runId: id })
    expect([card.expectedNm, card.expectedIntervalNm]).toEqual([expectedNm, expectedIntervalNm])
    // Against a fit of the other runs, the long way.
    await engine.ok('bench.updateRun', { runId: id, change: { excluded: 'to be predicted' } })
    const { settings } = card.run
    const made = { ...settings, ...(id === runs[3]!.id ? { speed: 2600 } : {}) }
    const [alone] = await engine.ok('fits.predict', { ...question, at: [made] })
    await engine.ok('history.undo', { studyId })
    expect(expectedNm).toBeCloseTo(alone!.estimate, 7)
    expect(expectedIntervalNm![0]).toBeCloseTo(alone!.prediction[0], 7)
  }
})

test('a recommended run becomes a stage of the plan, and its prediction is held against what is measured', async () => {
  const { engine, studyId, question, runs } = await demoEngine()
  const goal = { target: 1500, tolerance: 30, aims: ['reach' as const] }
  const { choices, dataHash } = await engine.ok('next.recommend', { ...question, ...goal })
  const choice = choices[0]!
  expect(choice.aim).toBe('reach')
  expect(Math.abs(choice.estimate - 1500)).toBeLessThan(5)
  // What the coater can be set to: steps of 10 rpm.
  expect((choice.settings.speed as number) % 10).toBe(0)
  // Monitor runs came later, but are no data.
  expect(choice.present?.session).toBe('Day 2')
  const {
    runIds: [runId = ''],
    stageId,
  } = await engine.ok('next.take', { ...question, choices: [choice], dataHash })
  const study = await engine.ok('studies.get', { studyId })
  expect(study.stages.at(-1)).toMatchObject({ id: stageId, kind: 'next' })
  const { run } = await engine.ok('bench.card', { runId })
  expect(run).toMatchObject({
    kind: 'next',
    state: 'planned',
    settings: choice.settings,
    lot: 'A',
    runOrder: runs.length + 1,
  })
  const {
    entries: [before],
  } = await engine.ok('next.ledger', { studyId })
  expect(before).toMatchObject({
    runId,
    code: run.code,
    estimate: choice.estimate,
    dataHash,
    measured: null,
    inside: null,
  })
  const text = choice.estimate.toFixed(1)
  await engine.ok('bench.enterReadings', { runId, unit: 'nm', readings: everySite(text) })
  const judged = async () => (await engine.ok('next.ledger', { studyId })).entries[0]
  // The interval is one for any day.
  expect(await judged()).toMatchObject({ scope: 'otherSession', inside: true, notJudged: null })
  await engine.ok('bench.updateRun', { runId, change: { session: 'Day 9' } })
  expect(await judged()).toMatchObject({ inside: true, notJudged: null })
  const session = runs.find((each) => each.session !== null)?.session as string
  await engine.ok('bench.updateRun', { runId, change: { session, excluded: 'comet' } })
  expect(await judged()).toMatchObject({ inside: null, notJudged: 'left out' })
  await engine.ok('bench.updateRun', { runId, change: { excluded: null } })
  expect((await engine.ok('next.ledger', { studyId })).entries[0]).toMatchObject({
    measured: expect.closeTo(Number(text), 6),
    inside: true,
  })
  const { score } = await engine.ok('next.ledger', { studyId })
  expect(score).toMatchObject({
    verdict: 'too few',
    look: null,
    coverage: { count: 1, of: 1 },
    sessions: [{ session, wafers: 1, inside: 1 }],
  })
  // Measured where it was predicted.
  expect(Math.abs(score.sessions[0]!.z)).toBeLessThan(0.02)
  await engine.ok('bench.enterReadings', { runId, unit: 'nm', readings: everySite('1900') })
  expect((await engine.ok('next.ledger', { studyId })).entries[0]).toMatchObject({
    measured: 1900,
    inside: false,
  })
  // The data are others now, so the old recommendation is stale.
  expect(await engine.refused('next.take', { ...question, choices: [choice], dataHash })).toMatchObject([
    { code: 'dataChanged' },
  ])
  for (let i = 0; i < 6; i++) await engine.ok('history.undo', { studyId })
  expect((await engine.ok('next.ledger', { studyId })).entries).toEqual([])
  expect(await engine.ok('bench.runs', { studyId })).toEqual(runs)
})

test('lots are compared with a curve each; the invented lot B is 1.8 % thicker', async () => {
  const { engine, question } = await demoEngine()
  const compared = await engine.ok('lots.compare', {
    ...question,
    model: 'log(thickness) ~ log(speed)',
    by: 'lot',
    target: 1500,
    margin: 0.01,
  })
  expect(compared.groups).toEqual(['A', 'B'])
  expect(compared.curves.map(({ group, factor, unit }) => [group, factor, unit])).toEqual([
    ['A', 'speed', 'rpm'],
    ['B', 'speed', 'rpm'],
  ])
  const [shift] = compared.shifts
  expect(shift!.lower!).toBeLessThan(1.018)
  expect(shift!.upper!).toBeGreaterThan(1.018)
  const only = await engine.refused('lots.compare', {
    ...question,
    model: 'log(thickness) ~ log(speed)',
    by: 'lot',
    groups: ['B'],
    target: 1500,
    margin: null,
  })
  expect(only).toMatchObject([{ code: 'oneGroup' }])
})

test('the present session is that of the run coated last, wherever it stands in the plan', () => {
  const run = (session: string | null, coatedAt: string | null) => ({ session, coatedAt })
  const later = run('Tuesday', '2026-03-03T10:00:00.000Z')
  const earlier = run('Monday', '2026-03-02T10:00:00.000Z')
  expect(presentOf([later, earlier, run('imported', null)])).toEqual({ present: 'Tuesday' })
  expect(presentOf([run('A', null), run('B', null)])).toEqual({ present: 'B' })
  expect([presentOf([]), presentOf([run(null, null)])]).toEqual([{}, {}])
})

test('a fit can estimate the variance of sessions and plate visits, or bear a few bad runs', async () => {
  const { engine, studyId, runs, question } = await demoEngine()
  const { groupings } = await engine.ok('fits.models', { studyId, response: 'thickness' })
  expect(groupings.map(({ random }) => random)).toEqual(['session', 'session/plateVisit'])
  const own = {
    ...question,
    model: 'log(thickness) ~ log(speed) + time + bake',
    random: 'session/plateVisit',
  }
  const { fit, dataHash } = await engine.ok('fits.fit', own)
  expect(fit.dfMethod).toBe('satterthwaite')
  expect(fit.varianceComponents.map(({ group }) => group)).toEqual([
    'session',
    'session/plateVisit',
    'residual',
  ])
  const predictions = await engine.ok('fits.predict', { ...own, at: [{ speed: 3000 }] })
  expect(predictions.map(({ scope }) => scope)).toEqual(['sameSession', 'otherSession'])
  const at = { time: 40, bake: 100 }
  const curve = await engine.ok('fits.curve', { ...own, factor: 'speed', at })
  const [, low] = await engine.ok('fits.predict', { ...own, at: [{ ...at, speed: 2000 }] })
  expect(curve).toMatchObject({ scope: 'otherSession' })
  expect(curve.points).toHaveLength(101)
  expect(curve.points[0]).toMatchObject({ estimate: low?.estimate, prediction: low?.prediction })
  const contour = await engine.ok('fits.contour', { ...own, x: 'speed', y: 'bake', at })
  expect(contour.values).toHaveLength(contour.columns * contour.rows)
  // The sessions are part of the data that the result saw.
  await engine.ok('bench.updateRun', { runId: runs[0]!.id, change: { session: 'Day 3' } })
  expect((await engine.ok('fits.fit', own)).dataHash).not.toBe(dataHash)

  // Two sessions leave 1 degree of freedom: what earlier studies say is used, and its effect shown.
  const earlier = { session: { standardDeviation: 0.006, df: 10 } }
  const known = await engine.ok('fits.fit', { ...own, earlier })
  expect(known.fit.varianceComponents.map(({ source }) => source)).toContain('earlierStudies')
  expect(known.fit.statedEffect).toHaveLength(known.fit.terms.length)
  expect(await engine.refused('fits.fit', { ...question, earlier })).toMatchObject([{ code: 'noGroups' }])

  const robust = await engine.ok('fits.fit', { ...question, robust: 'bisquare' })
  expect(robust.fit.rSquared).toBeNull()
  expect(await engine.refused('fits.fit', { ...own, robust: 'huber' })).toMatchObject([{ code: 'twoKinds' }])
  expect(await engine.refused('fits.fit', { ...own, random: 'session + plateVisit' })).toMatchObject([
    { code: 'random' },
  ])
  expect(await engine.refused('fits.fit', { ...own, random: 'humidity' })).toMatchObject([
    { code: 'unknownColumn' },
  ])
})

test('where no setting was repeated, the scatter goes by the model that is asked for', async () => {
  const { ok, refused } = await testEngine()
  const { studyId } = await ok('studies.create', { study: { name: 'Bare' } })
  const rows = [2000, 2500, 3000, 3500, 4000, 4500].map((speed, i) => {
    const nm = 1500 * (speed / 3000) ** -0.5 * (1 + 0.002 * (-1) ** i)
    return `W${i},${speed},${nm - 1},${nm},${nm + 1.5}`
  })
  const text = ['run,speed (rpm),T1,T2,T3', ...rows].join('\n')
  await ok('imports.commit', { studyId, fileName: 'bare.csv', text })
  expect((await refused('fits.scatter', { studyId }))[0]?.code).toBe('noReplicates')
  const model = 'log(thickness) ~ log(speed)'
  expect((await ok('fits.scatter', { studyId, model })).model).toBe('log(speed)')
})

test('where the scatter of a study comes from: sessions, plate visits, wafers, sites and the gauge', async () => {
  const { engine, studyId } = await demoEngine()
  const scatter = await engine.ok('fits.scatter', { studyId })
  expect(scatter.components.at(-1)).toMatchObject({ level: 'repeat', source: 'gauge' })
  // The invented film has 0.12 % from site to site.
  const site = scatter.components.find(({ level }) => level === 'site')!
  expect(site.lower).toBeLessThan(0.0012)
  expect(site.upper).toBeGreaterThan(0.0012)
  expect(scatter.components.reduce((sum, { shareOfMean }) => sum + shareOfMean, 0)).toBeCloseTo(1, 12)
  const empty = (await engine.ok('studies.create', { study: { name: 'Empty' } })).studyId
  expect((await engine.refused('fits.scatter', { studyId: empty }))[0]?.code).toBe('tooFew')
  // Wafers of a file that says nothing of their settings.
  const text = 'run,T1,T2,T3\nA,1500,1501,1502\nB,1800,1801,1802\nC,1200,1201,1202\n'
  await engine.ok('imports.commit', { studyId: empty, fileName: 'bare.csv', text })
  expect((await engine.refused('fits.scatter', { studyId: empty }))[0]?.code).toBe('settingsUnknown')
})
