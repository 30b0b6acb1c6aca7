import { expect, test } from 'vitest'
import { testEngine } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

const model = 'log(thickness) ~ log(speed) + time + bake'

async function practised(seed = 5) {
  const engine = await testEngine()
  const source = await plannedStudy(engine)
  const { studyId } = await engine.ok('plans.practise', { studyId: source.studyId, seed })
  const runs = await engine.ok('bench.runs', { studyId })
  const coat = (runId: string) => engine.ok('bench.updateRun', { runId, change: { state: 'coated' } })
  const valuesOf = async (runId: string) =>
    (await engine.ok('bench.card', { runId })).readings.map(({ value }) => value)
  return { engine, source, studyId, runs, coat, valuesOf }
}

test('a practice study is a copy of the plan, marked as simulated, and leaves the plan alone', async () => {
  const { engine, source, studyId, runs } = await practised()
  const study = await engine.ok('studies.get', { studyId })
  expect(study).toMatchObject({ name: 'Sweep (practice)', simulated: true, practice: { seed: 5 } })
  expect(study.notes).toContain('simulated')
  const plan = (list: typeof runs) =>
    list.map(({ code, runOrder, settings, plateVisit, lot, kind }) => ({
      code,
      runOrder,
      settings,
      plateVisit,
      lot,
      kind,
    }))
  expect(plan(runs)).toEqual(plan(source.runs))
  expect(runs.every(({ state, readings }) => state === 'planned' && readings === 0)).toBe(true)
  const original = await engine.ok('studies.get', { studyId: source.studyId })
  expect(study.stages.map(({ design, title }) => ({ design, title }))).toEqual(
    original.stages.map(({ design, title }) => ({ design, title })),
  )
  expect(original).toMatchObject({ simulated: false, practice: null })
})

test('a run has its readings once it is coated, in one step of undo, and the same again by redo', async () => {
  const { engine, studyId, runs, coat, valuesOf } = await practised()
  const runId = runs[2]!.id
  await coat(runId)
  const values = await valuesOf(runId)
  expect(values).toHaveLength(9)
  const { run } = await engine.ok('bench.card', { runId })
  expect(run.state).toBe('measured')
  expect((await engine.ok('history.list', { studyId, limit: 1 }))[0]?.label).toContain('invented film')
  await engine.ok('history.undo', { studyId })
  expect((await engine.ok('bench.card', { runId })).run.state).toBe('planned')
  expect(await valuesOf(runId)).toEqual([])
  await coat(runId)
  expect(await valuesOf(runId)).toEqual(values)
})

test('what is read does not hang on the order in which runs are coated; another seed is another film', async () => {
  const [one, other, third] = [await practised(5), await practised(5), await practised(6)]
  for (const { id } of one.runs) await one.coat(id)
  for (const { id } of [...other.runs].reverse()) await other.coat(id)
  for (const { id } of third.runs) await third.coat(id)
  const all = ({ runs, valuesOf }: typeof one) => Promise.all(runs.map(({ id }) => valuesOf(id)))
  expect(await all(other)).toEqual(await all(one))
  expect(await all(third)).not.toEqual(await all(one))
})

test('it goes through to the next run: the fit reaches the target, and the run that is taken is read too', async () => {
  const { engine, studyId, runs, coat, valuesOf } = await practised()
  for (const { id } of runs) await coat(id)
  const question = { studyId, response: 'thickness', model }
  const { fit } = await engine.ok('fits.fit', question)
  const exponent = fit.terms.find(({ term }) => term === 'log(speed)')!.estimate
  expect(Math.abs(exponent + 0.505)).toBeLessThan(0.05)
  const goal = { target: 1500, tolerance: 30, aims: ['reach' as const] }
  const { choices, dataHash } = await engine.ok('next.recommend', { ...question, ...goal })
  const {
    runIds: [runId = ''],
  } = await engine.ok('next.take', { ...question, dataHash, choices: choices.slice(0, 1) })
  await coat(runId)
  const values = await valuesOf(runId)
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length
  expect(Math.abs(mean / 1500 - 1)).toBeLessThan(0.04)
})

test('a failed or already read run of it is left alone, and other studies never read themselves', async () => {
  const { engine, source, runs, coat, valuesOf } = await practised()
  const [first, second] = runs
  await engine.ok('bench.enterReadings', {
    runId: first!.id,
    unit: 'nm',
    readings: [{ site: 1, text: '1500' }],
  })
  await coat(first!.id)
  expect(await valuesOf(first!.id)).toEqual([1500])
  await engine.ok('bench.updateRun', { runId: second!.id, change: { state: 'failed', defect: 'comets' } })
  expect(await valuesOf(second!.id)).toEqual([])
  await coat(source.runs[0]!.id)
  expect(await valuesOf(source.runs[0]!.id)).toEqual([])
})

test('without a saved plan there is nothing to practise', async () => {
  const engine = await testEngine()
  const { studyId } = await engine.ok('studies.create', { study: { name: 'Bare' } })
  expect(await engine.refused('plans.practise', { studyId })).toMatchObject([{ code: 'noRuns' }])
})
