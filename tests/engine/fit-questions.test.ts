import { describe, expect, test } from 'vitest'
import { transformationOf } from '../../shared/model/transformation.ts'
import { demoEngine } from './demo-engine.ts'

describe('the setting for a target, by the kind of fit asked for', () => {
  test.each([
    [{}, 'sameSession'],
    [{ robust: 'bisquare' as const }, 'sameSession'],
    [{ random: 'session/plateVisit' }, 'otherSession'],
    [
      { random: 'session/plateVisit', stated: { session: { standardDeviation: 0.01, df: 8 } } },
      'otherSession',
    ],
  ])('%j', async (kind, scope) => {
    const { engine, question } = await demoEngine()
    const own = { ...question, model: 'log(thickness) ~ log(speed) + time + bake', ...kind }
    const at = { time: 30, bake: 105 }
    const found = await engine.ok('fits.target', { ...own, factor: 'speed', target: 1500, at })
    expect(found).toMatchObject({ column: 'speed', scope, at: { ...at, speed: found.setting } })
    const there = async (speed: number | null) => {
      const predictions = await engine.ok('fits.predict', { ...own, at: [{ ...at, speed: speed ?? 0 }] })
      return predictions.find((one) => one.scope === scope)!
    }
    // Thickness falls with speed: at the lower end of speeds the interval touches the target from above.
    expect((await there(found.setting)).estimate).toBeCloseTo(1500, 6)
    expect((await there(found.lower)).confidence[0]).toBeCloseTo(1500, 6)
    expect((await there(found.upper)).confidence[1]).toBeCloseTo(1500, 6)
    expect((await there(found.oneRun.lower)).prediction[0]).toBeCloseTo(1500, 6)
    expect((await there(found.oneRun.upper)).prediction[1]).toBeCloseTo(1500, 6)
    expect(found.words.includes('of another session')).toBe(scope === 'otherSession')
  })

  test('is refused where there is none', async () => {
    const { engine, question } = await demoEngine()
    const why = async (more: object) =>
      (
        await engine.refused('fits.target', { ...question, factor: 'speed', target: 1500, at: {}, ...more })
      )[0]?.code
    expect(await why({ target: 90000 })).toBe('targetNotReached')
    expect(await why({ target: -1 })).toBe('outsideDomain')
    expect(await why({ factor: 'lot' })).toBe('unknownColumn')
    expect(await why({ random: 'humidity' })).toBe('unknownColumn')
  })
})

test('the transformation is that of the runs in the fit', async () => {
  const { engine, studyId, runs, question } = await demoEngine()
  const asked = { ...question, model: 'log(thickness) ~ log(speed) + bake', level: 0.9 }
  const of = async () => {
    const { columns, rows } = await engine.ok('fits.table', { studyId })
    const used = rows.filter((row) => row.excluded === null)
    const table = {
      rows: used.length,
      columns: columns.map(({ name, unit }) => ({
        name,
        unit,
        values: used.map((row) => row.values[name] ?? null),
      })),
    }
    const answer = transformationOf({ table, model: asked.model, level: 0.9 })
    if (!answer.ok) throw new Error('no transformation')
    return answer.value
  }
  const before = await engine.ok('fits.transformation', asked)
  expect(before).toEqual(await of())
  expect(before.words).toContain('at 90 %')
  await engine.ok('bench.updateRun', { runId: runs[2]!.id, change: { excluded: 'comet' } })
  const after = await engine.ok('fits.transformation', asked)
  expect(after).toEqual(await of())
  expect(after.lambda).not.toBe(before.lambda)
  expect(
    (await engine.refused('fits.transformation', { ...asked, model: 'thickness ~ (' }))[0],
  ).toMatchObject({
    code: 'formula',
  })
})

test('a robust fit says how much each run counts', async () => {
  const { engine, runs, question } = await demoEngine()
  const readings = Array.from({ length: 9 }, (_, i) => ({ site: i + 1, text: '1900' }))
  const wrong = runs.find((run) => Math.abs((run.film?.mean ?? 1900) - 1900) > 400)!
  await engine.ok('bench.enterReadings', { runId: wrong.id, unit: 'nm', readings })
  const { fit, runIds } = await engine.ok('fits.fit', { ...question, robust: 'bisquare' })
  const weights = new Map(fit.runs.map((run, i) => [runIds[i], run.weight]))
  expect(weights.get(wrong.id)).toBe(0)
  expect([...weights.values()].filter((weight) => weight! > 0.7).length).toBeGreaterThan(fit.runs.length / 2)
  const plain = await engine.ok('fits.fit', question)
  expect(plain.fit.runs.every((run) => run.weight === undefined)).toBe(true)
})

test('a variance estimated as 0 leaves the mean of these sessions the degrees of freedom of its stratum', async () => {
  const { engine, question } = await demoEngine()
  const model = 'log(thickness) ~ (log(speed) + time + bake)^2 + log(speed)^2 + time^2 + bake^2 + lot'
  const own = { ...question, model, random: 'session/plateVisit' }
  const { fit } = await engine.ok('fits.fit', own)
  expect(fit.varianceComponents[1]).toMatchObject({ variance: 0 })
  const fewest = Math.min(...fit.varianceComponents.map(({ df }) => df!))
  const at = [3000, 3250, 3350].map((speed) => ({ speed, time: 40, bake: 100, lot: 'A' }))
  const predictions = await engine.ok('fits.predict', { ...own, at })
  expect(predictions).toHaveLength(6)
  for (const { df, confidence, estimate } of predictions) {
    expect(df).toBeGreaterThanOrEqual(fewest - 1e-9)
    expect(confidence[1] / estimate).toBeLessThan(1.3)
    expect(confidence[0] / estimate).toBeGreaterThan(1 / 1.3)
  }
})
