import { expect, test } from 'vitest'
import { demoEngine } from './demo-engine.ts'
import { testEngine } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

const sites = (text: string, count = 9) => Array.from({ length: count }, (_, i) => ({ site: i + 1, text }))

test('a run is measured once every site of the map is read, and no data before', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const runId = runs[0]!.id
  const state = async () => (await engine.ok('bench.card', { runId })).run.state
  await engine.ok('bench.enterReadings', { runId, unit: 'nm', readings: sites('1500', 5) })
  expect(await state()).toBe('coated')
  const [row] = (await engine.ok('fits.table', { studyId })).rows
  expect(row?.excluded).toBe('Not all of its sites are read yet.')
  await engine.ok('bench.updateRun', { runId, change: { state: 'measured' } })
  expect((await engine.ok('fits.table', { studyId })).rows[0]?.excluded).toBeNull()
  await engine.ok('history.undo', { studyId })
  await engine.ok('bench.enterReadings', { runId, unit: 'nm', readings: sites('1500') })
  expect(await state()).toBe('measured')
})

test('a failed coat says what is wrong and is no data', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const runId = runs[0]!.id
  const refused = await engine.refused('bench.updateRun', { runId, change: { state: 'failed' } })
  expect(refused).toMatchObject([{ code: 'noDefect', column: 'defect' }])
  await engine.ok('bench.enterReadings', { runId, unit: 'nm', readings: sites('1500') })
  await engine.ok('bench.updateRun', { runId, change: { state: 'failed', defect: 'uncoated corner' } })
  const [row] = (await engine.ok('fits.table', { studyId })).rows
  expect(row?.excluded).toBe('The coat failed: uncoated corner.')
  await engine.ok('bench.updateRun', { runId, change: { state: 'measured' } })
  expect((await engine.ok('bench.card', { runId })).run.defect).toBeNull()
})

test('the fit takes what really happened in place of the plan, and says so', async () => {
  const { engine, studyId, question } = await demoEngine()
  const runs = await engine.ok('bench.runs', { studyId })
  const run = runs.find(({ settings }) => settings.speed === 2000)!
  await engine.ok('bench.updateRun', { runId: run.id, change: { actual: { speed: 2100, lidOpen: true } } })
  const table = await engine.ok('fits.table', { studyId })
  expect(table.rows.find(({ runId }) => runId === run.id)?.values.speed).toBe(2100)
  const { fit } = await engine.ok('fits.fit', question)
  const said = fit.problems.find(({ code }) => code === 'notAsPlanned')
  expect(said?.message).toContain(`${run.code} (speed 2100 for 2000)`)
})

test('a probed plate counts for the wafers of its visit as the display that it stands for', async () => {
  const { engine, studyId } = await demoEngine()
  const { visits } = await engine.ok('sessions.list', { studyId })
  expect(visits.map(({ number }) => number)).toEqual([1, 2, 3, 4, 5])
  // The demo's plate is 1.5 °C cooler than its display: a surface of 97 °C stands for a display of 98.5 °C.
  await engine.ok('sessions.keepVisit', { studyId, visit: { ...visits[3]!, display: 100, surface: 97 } })
  const { rows } = await engine.ok('fits.table', { studyId })
  const bakes = rows.filter(({ values }) => values.plateVisit === '4').map(({ values }) => values.bake)
  expect(new Set(bakes)).toEqual(new Set([98.5]))
})

test('a session is recorded once, keeps its runs when it is renamed, and comes back by undo', async () => {
  const { engine, studyId } = await demoEngine()
  const days = async () =>
    (await engine.ok('sessions.list', { studyId })).sessions.filter(({ name }) => name.startsWith('Day'))
  expect((await days()).map(({ name }) => name)).toEqual(['Day 1', 'Day 2'])
  const session = {
    ...(await days())[0]!,
    name: 'Monday',
    day: '2026-03-02',
    humidity: 45,
    roomTemperature: 21,
  }
  await engine.ok('sessions.keep', { studyId, session, renames: 'Day 1' })
  const names = async () => new Set((await engine.ok('bench.runs', { studyId })).map((run) => run.session))
  expect(await names()).toContain('Monday')
  expect(await names()).not.toContain('Day 1')
  const taken = await engine.refused('sessions.keep', {
    studyId,
    session: { ...session, name: 'Day 2' },
    renames: 'Monday',
  })
  expect(taken).toMatchObject([{ code: 'nameTaken' }])
  await engine.ok('history.undo', { studyId })
  expect(await names()).toContain('Day 1')
  expect((await days())[0]?.day).toBe('')
})

test('the card compares the bottle of its session, the plate and the bowl', async () => {
  const engine = await testEngine()
  const { studyId } = await engine.ok('studies.demo', { seed: 7 })
  const [run] = await engine.ok('bench.runs', { studyId })
  const { sessions } = await engine.ok('sessions.list', { studyId })
  const session = sessions.find(({ name }) => name === run?.session)
  const { id: bottleId } = await engine.ok('bottles.keep', { bottle: { name: 'B1', expires: '2026-03-01' } })
  await engine.ok('sessions.keep', { studyId, session: { ...session!, day: '2026-03-03', bottleId } })
  await engine.ok('bench.updateRun', {
    runId: run!.id,
    change: { actual: { minutesSinceSet: 4, waferSinceClean: 1 } },
  })
  const { checks, bake } = await engine.ok('bench.card', { runId: run!.id })
  const of = (code: string) => checks.find((check) => check.code === code)
  expect(of('bottle')).toMatchObject({ state: 'outside', findings: [{ value: 2, limit: 0 }] })
  expect(of('bottle')?.findings[0]?.message).toBe('Bottle B1 expired on 2026-03-01, 2 days ago.')
  expect(of('settle')).toMatchObject({ state: 'within', findings: [{ value: 4, limit: 10 }] })
  expect(of('bowl')).toMatchObject({ findings: [{ value: 0, limit: 2 }] })
  expect(bake).toMatchObject({ display: 100, surface: 98.5 })
})
