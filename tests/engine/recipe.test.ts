import { expect, onTestFinished, test } from 'vitest'
import { startWorkers } from '../../electron/engine/compute/workers.ts'
import type { Progress } from '../../shared/progress.ts'
import { demoEngine } from './demo-engine.ts'
import { testEngine } from './engine-in-folder.ts'
import { demoStudy, plannedStudy, speed } from './studies-for-tests.ts'

test('the recipe of the demo study: near its true optimum of 3280 rpm at a display of 100 °C, with the map of its film', async () => {
  const { engine, question } = await demoEngine()
  const answer = await engine.ok('next.recipe', {
    ...question,
    model: `${question.model} + lot`,
    target: 1500,
    tolerance: 30,
    asked: 0.8,
  })
  const { recipe, map, met } = answer
  expect(met).toBe(true)
  expect(Math.abs(recipe.estimate - 1500)).toBeLessThan(10)
  expect(recipe).toMatchObject({ scope: 'otherSession', extrapolates: null })
  expect(recipe.chance.both).toBeCloseTo(recipe.chance.thickness * recipe.chance.evenness!, 12)
  expect(recipe.evenness!.median).toBeLessThan(1)
  expect(map).toHaveLength(9)
  const mean = map.reduce((sum, { valueNm }) => sum + valueNm, 0) / map.length
  expect(Math.abs(mean / recipe.estimate - 1)).toBeLessThan(0.005)
  expect(answer.dataHash).toMatch(/^[0-9a-f]{64}$/)

  // Over two factors, the third at the recipe's setting, the chance is the recipe's own at its place.
  const { speed, time, bake } = recipe.settings as Record<string, number>
  const chances = await engine.ok('next.chanceMap', {
    ...question,
    model: `${question.model} + lot`,
    target: 1500,
    tolerance: 30,
    x: 'speed',
    y: 'time',
    at: { ...recipe.settings, bake: bake! },
  })
  expect(chances.values).toHaveLength(chances.columns * chances.rows)
  const { x, y, columns, rows } = chances
  const column = Math.round(((speed! - x.low) / (x.high - x.low)) * (columns - 1))
  const row = Math.round(((time! - y.low) / (y.high - y.low)) * (rows - 1))
  expect(chances.values[row * columns + column]).toBeGreaterThan(0.5 * recipe.chance.both)
  expect(Math.max(...chances.values)).toBeLessThan(recipe.chance.both + 0.03)
  expect(chances.values[0]).toBeLessThan(1e-3)
})

test('films without positions have no shape: the chance is for the thickness, and says so', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  await engine.ok('studies.update', { studyId, change: { uniformityLimit: 1 } })
  for (const [i, { id, settings }] of runs.entries()) {
    const nm = 1500 * (Number(settings.speed) / 3000) ** -0.5 * (1 + 0.001 * (i % 3))
    await engine.ok('bench.enterReadings', {
      runId: id,
      unit: 'nm',
      readings: [{ site: null, text: nm.toFixed(1) }],
    })
  }
  const answer = await engine.ok('next.recipe', {
    studyId,
    response: 'thickness',
    model: 'log(thickness) ~ log(speed)',
    target: 1500,
    tolerance: 45,
    asked: 0.5,
  })
  expect(answer).toMatchObject({ map: [], recipe: { evenness: null, chance: { evenness: null } } })
  expect(answer.problems.map(({ code }) => code)).toContain('noShape')
})

test('one wafer a day is enough for a recipe and a next run, with what is usual said', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine, [speed])
  for (const [i, { id, settings }] of runs.entries()) {
    const nm = 1560 * (Number(settings.speed) / 3000) ** -0.5 * (1 + 0.004 * ((i % 3) - 1))
    await engine.ok('bench.enterReadings', {
      runId: id,
      unit: 'nm',
      readings: Array.from({ length: 9 }, (_, s) => ({ site: s + 1, text: nm.toFixed(1) })),
    })
    await engine.ok('bench.updateRun', { runId: id, change: { session: `Day ${i + 1}` } })
  }
  const question = { studyId, response: 'thickness', model: 'log(thickness) ~ log(speed)' }
  const goal = { target: 1500, tolerance: 30 }
  const { recipe } = await engine.ok('next.recipe', { ...question, ...goal, asked: 0.8 })
  expect(Math.abs(recipe.estimate - 1500)).toBeLessThan(5)
  expect(recipe).toMatchObject({ scope: 'otherSession', varianceSource: 'stated' })
  const { choices } = await engine.ok('next.recommend', { ...question, ...goal })
  expect(choices.map(({ aim }) => aim)).toContain('reach')
  // In the unit of the study, whichever that is.
  await engine.ok('studies.update', { studyId, change: { thicknessUnit: 'µm' } })
  const inMicrons = await engine.ok('next.recommend', { ...question, ...goal })
  const said = [choices, inMicrons.choices].map((all) => all.find(({ aim }) => aim === 'reach')?.reason)
  expect(said[0]).toMatch(/ 1500 ± 30 nm: .* \(estimate 1\d{3}(\.\d)?,/)
  expect(said[1]).toMatch(/ 1\.5 ± 0\.03 µm: .* \(estimate 1\.\d+,/)
  const { fit } = await engine.ok('fits.fit', { ...question, overDays: true })
  expect(fit.problems.filter(({ code }) => code === 'usualVariance').map(({ column }) => column)).toEqual([
    'session',
    'residual',
  ])
})

test('the page hears how far the search has come, and may cancel it', async () => {
  const workers = startWorkers({ most: 1 })
  onTestFinished(() => workers.close())
  const heard: Progress[] = []
  const engine = await testEngine({ workers, onProgress: (progress) => heard.push(progress) })
  const { question } = await demoStudy(engine)
  const page = 'one'
  const asked = { ...question, target: 1500, tolerance: 30, asked: 0.8 }
  const answer = engine.engine.call('next.recipe', asked, page)
  await expect.poll(() => heard.length, { timeout: 30_000, interval: 5 }).toBeGreaterThan(0)
  await engine.engine.call('application.cancel', { call: 'next.recipe' }, page)
  expect(heard[0]).toMatchObject({ call: 'next.recipe', what: 'steps of the search' })
  expect(await answer).toMatchObject({ ok: false, problems: [{ code: 'cancelled' }] })
})
