import { expect, onTestFinished, test } from 'vitest'
import { startWorkers } from '../../electron/engine/compute/workers.ts'
import type { DesignSettings } from '../../shared/contract/things.ts'
import type { Progress } from '../../shared/progress.ts'
import { testEngine } from './engine-in-folder.ts'
import { bake, design, speed, time } from './studies-for-tests.ts'

const composite: DesignSettings = { ...design, kind: 'composite', star: 'face', centre: 4 }

async function asked(engine: Awaited<ReturnType<typeof testEngine>>) {
  const { studyId } = await engine.ok('studies.create', { study: { name: 'Rehearsed', lots: ['K'] } })
  return {
    studyId,
    factors: [speed, { ...time, levels: 3 }, bake],
    design: composite,
    targetNm: 1700,
    toleranceNm: 40,
    times: 12,
    seed: 1,
  }
}

test('a plan is rehearsed beside the engine, and nothing of it is kept', async () => {
  const engine = await testEngine()
  const question = await asked(engine)
  const result = await engine.ok('plans.rehearse', question)
  expect(result.studies).toHaveLength(12)
  expect(result).toMatchObject({ simulated: true, factor: 'speed', at: { time: 40, bake: 100 } })
  expect(result.words[0]).toMatch(/^In 12 rehearsals the recipe was within ±40 nm in \d+ \(\d+ %\)\./)
  expect(await engine.ok('bench.runs', { studyId: question.studyId })).toEqual([])
  expect(await engine.ok('plans.rehearse', question)).toEqual(result)
})

test('a film that varies more from wafer to wafer gives a recipe that is known less well', async () => {
  const engine = await testEngine()
  const question = await asked(engine)
  const usual = await engine.ok('plans.rehearse', question)
  const rough = await engine.ok('plans.rehearse', { ...question, film: { wafer: 0.02 } })
  expect(rough.halfWidths.mean!).toBeGreaterThan(2 * usual.halfWidths.mean!)
  expect(rough.film).toEqual({ ...usual.film, wafer: 0.02 })
})

test('what cannot be rehearsed is refused with the reason', async () => {
  const engine = await testEngine()
  const question = await asked(engine)
  const without = { ...question, factors: [time, bake], design }
  expect(await engine.refused('plans.rehearse', without)).toMatchObject([{ code: 'noSpeed' }])
  const odd = { ...question, model: 'log(thickness) ~ log(pressure)' }
  expect(await engine.refused('plans.rehearse', odd)).toMatchObject([{ column: 'pressure' }])
})

test('the page hears how many studies are done, and may cancel the rest', async () => {
  const workers = startWorkers({ most: 1 })
  onTestFinished(() => workers.close())
  const heard: Progress[] = []
  const engine = await testEngine({ workers, onProgress: (progress) => heard.push(progress) })
  const question = await asked(engine)
  const page = 'one'
  const answer = engine.engine.call('plans.rehearse', { ...question, times: 2000 }, page)
  await expect.poll(() => heard.length, { timeout: 30_000 }).toBeGreaterThan(1)
  expect(heard[0]).toMatchObject({ call: 'plans.rehearse', what: 'studies rehearsed', of: 2000 })
  await engine.engine.call('application.cancel', { call: 'plans.rehearse' }, page)
  expect(await answer).toMatchObject({ ok: false, problems: [{ code: 'cancelled' }] })
})
