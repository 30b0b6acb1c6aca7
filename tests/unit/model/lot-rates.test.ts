import { expect, test } from 'vitest'
import { demoScenario } from '../../../shared/process/demo-scenario.ts'
import { comparisonOf, lots, speeds } from './lot-runs.ts'
import { countCorrected } from './lot-scenario.ts'
import { tableOf } from './some-runs.ts'

test('lots of the invented film, which are parallel, are called so at the rate that the test claims', () => {
  // Over 150 seeds of the demo study p should be uniform: 75 below 0.5 (standard deviation 6.1), 7.5 below 0.05 (2.7).
  // A single study can well say otherwise: the demo of seed 7 has p = 0.001 with the full second-order model.
  const model = 'log(thickness) ~ log(speed) + time + time^2 + bake + bake^2 + log(speed).time + session'
  const p = Array.from({ length: 150 }, (_, seed) => {
    const runs = demoScenario(seed + 1).stages.flatMap((stage) => stage.runs)
    const of = (name: 'speed' | 'time' | 'bake') => runs.map(({ settings }) => settings[name])
    const table = tableOf({
      speed: of('speed'),
      time: of('time'),
      bake: of('bake'),
      lot: runs.map(({ lot }) => lot as string),
      session: runs.map(({ session }) => session as string),
      thickness: runs.map(
        ({ readings }) => readings.reduce((sum, { valueNm }) => sum + valueNm, 0) / readings.length,
      ),
    })
    const { tests } = comparisonOf({ table, model })
    return tests.find(({ question }) => question === 'parallel')?.p ?? 0
  })
  const below = (limit: number) => p.filter((one) => one < limit).length
  expect(below(0.5)).toBeGreaterThan(75 - 4 * 6.1)
  expect(below(0.5)).toBeLessThan(75 + 4 * 6.1)
  expect(below(0.05)).toBeLessThan(7.5 + 4 * 2.7)
})

test('equal lots are called different in about 1 of 20 comparisons', () => {
  let different = 0
  for (let seed = 1; seed <= 200; seed++) {
    const table = lots({ A: 1, B: 1 }, { speeds: speeds.slice(0, 5), scatter: 0.004, seed })
    if ((comparisonOf({ table }).tests[0]?.p ?? 1) < 0.05) different++
  }
  expect(different).toBeGreaterThanOrEqual(3)
  expect(different).toBeLessThanOrEqual(20)
})

test('lots 1.8 % thicker and 1.3 % thinner are corrected within their intervals, and not called equal', () => {
  const { of, shifts, speeds: corrected, beside, narrower, equal, notJudged } = countCorrected(50)
  // Within 4 standard deviations of 95 of 100.
  const reach = 4 * Math.sqrt(of * 0.95 * 0.05)
  for (const inside of [shifts, corrected, beside]) expect(Math.abs(inside - 0.95 * of)).toBeLessThan(reach)
  expect(equal).toBeLessThan(0.05 * of)
  expect(notJudged).toBe(0)
  // What two lots share in a session cancels beside the reference, and not on another day.
  expect(narrower).toBe(of)
})
