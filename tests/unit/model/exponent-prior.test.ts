import { describe, expect, test } from 'vitest'
import {
  type ExponentPriorOptions,
  type FittedWithPrior,
  fitWithExponentPrior,
} from '../../../shared/model/exponent-prior.ts'
import type { Table } from '../../../shared/model/table.ts'
import { settingForTarget, withFrame } from '../../../shared/model/target-setting.ts'
import { seeded } from '../../../shared/random.ts'
import { fittedTo, someRuns, tableOf } from './some-runs.ts'

const model = 'log(thickness) ~ log(speed)'
const prior = { mean: 0.5, sd: 0.05 }

function withPrior(table: Table, options: Partial<ExponentPriorOptions> = {}): FittedWithPrior {
  const answer = fitWithExponentPrior({ table, model, prior, ...options })
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.message).join('\n'))
  return answer.value
}

const codes = (table: Table, options: Partial<ExponentPriorOptions> = {}) => {
  const answer = fitWithExponentPrior({ table, model, prior, ...options })
  return (answer.ok ? answer.value.problems : answer.problems).map(({ code }) => code)
}

const three = tableOf({ speed: [2000, 3250, 4500], thickness: [1948, 1516, 1260] })

describe('between the prior and the runs', () => {
  test('a prior that says nothing leaves least squares', () => {
    const own = fittedTo(someRuns, `${model} + lot`).report([{ speed: 3000, lot: 'B' }])
    const wide = withPrior(someRuns, { model: `${model} + lot`, prior: { mean: 0, sd: 1e7 } })
    const report = wide.report([{ speed: 3000, lot: 'B' }])
    expect(report.df).toBe(own.df)
    report.terms.forEach(({ estimate, standardError, lower }, k) => {
      expect(estimate).toBeCloseTo(own.terms[k]?.estimate ?? 0, 9)
      expect(standardError).toBeCloseTo(own.terms[k]?.standardError ?? 0, 9)
      expect(lower).toBeCloseTo(own.terms[k]?.lower ?? 0, 9)
    })
    expect(report.predictions[0]?.prediction[1]).toBeCloseTo(own.predictions[0]?.prediction[1] ?? 0, 6)
  })

  test('a prior that is certain gives its exponent', () => {
    const fit = withPrior(three, { prior: { mean: 0.5, sd: 1e-9 } })
    expect(fit.exponent.mean).toBeCloseTo(0.5, 9)
    expect(fit.exponent.sd).toBeLessThan(1e-8)
  })

  test('the exponent lies between, and is surer than either', () => {
    const { exponent } = withPrior(three)
    expect(exponent.mean).toBeGreaterThan(0.5)
    expect(exponent.mean).toBeLessThan(exponent.byRuns?.mean ?? 0)
    expect(exponent.sd).toBeLessThan(Math.min(0.05, exponent.byRuns?.sd ?? 0))
  })

  test('wafers at one speed leave the exponent to the prior', () => {
    const { exponent, report } = withPrior(tableOf({ speed: [3000, 3000], thickness: [1500, 1510] }))
    expect(exponent.mean).toBeCloseTo(0.5, 10)
    expect(exponent.sd).toBeCloseTo(0.05, 10)
    expect(exponent.byRuns).toBeNull()
    expect(report([{ speed: 4000 }]).predictions[0]?.estimate).toBeCloseTo(
      Math.sqrt(1500 * 1510) * Math.sqrt(0.75),
      6,
    )
  })

  test('one wafer is enough where the scatter is stated', () => {
    const one = tableOf({ speed: [3000], thickness: [1500] })
    expect(codes(one)).toEqual(['noScatter'])
    const fit = withPrior(one, { scatter: { sd: 0.005, df: 20 } })
    expect(fit.predict([{ speed: 3000 }])[0]?.estimate).toBeCloseTo(1500, 6)
    const speed = settingForTarget(withFrame(fit), { factor: 'speed', target: 1400 })
    expect(speed.ok && speed.value.setting).toBeCloseTo(3000 * (1500 / 1400) ** 2, 4)
  })
})

describe('what it says', () => {
  test('the prior by name, wherever its numbers appear', () => {
    const fit = withPrior(three)
    expect(fit.problems[0]?.code).toBe('exponentPrior')
    expect(fit.problems[0]?.message).toMatch(/exponent of 0\.5 ± 0\.05; the runs alone give 0\.53\d ± 0\.01/)
    expect(fit.report().problems.map(({ code }) => code)).toContain('exponentPrior')
    expect(fit.report().terms.map(({ p }) => p)).toEqual([null, null])
  })

  test('a prior that the runs contradict', () => {
    expect(codes(three, { prior: { mean: 0.8, sd: 0.03 } })).toContain('priorConflict')
    expect(codes(three)).not.toContain('priorConflict')
    expect(codes(three)).toContain('fewDegreesOfFreedom')
    expect(codes(three, { scatter: { sd: 0.005, df: 10 } })).toContain('statedScatter')
  })
})

describe('what it refuses', () => {
  test.each([
    ['a straight line', { model: 'thickness ~ speed' }, 'noSpinCurve'],
    ['unlike logarithms', { model: 'log(thickness) ~ log10(speed)' }, 'noSpinCurve'],
    ['no logarithm of the response', { model: 'thickness ~ log(speed)' }, 'noSpinCurve'],
    ['another column as the speed', { speed: 'time' }, 'noSpinCurve'],
    ['a prior without width', { prior: { mean: 0.5, sd: 0 } }, 'notANumber'],
    ['a scatter of nothing', { scatter: { sd: 0, df: 3 } }, 'notANumber'],
    ['an unknown column', { model: 'log(depth) ~ log(speed)' }, 'unknownColumn'],
  ])('%s', (_, options, code) => {
    expect(codes(three, options)).toContain(code)
  })

  test('no runs', () => {
    expect(codes(tableOf({ speed: [null], thickness: [1] }))).toEqual(['noRuns', 'missingCell'])
  })
})

describe('the setting for a target', () => {
  const fit = fittedTo(someRuns, 'log(thickness) ~ log(speed) + lot')

  test('is where the prediction is the target, its ends where the interval touches it', () => {
    const answer = settingForTarget(withFrame(fit), { factor: 'speed', target: 1600, at: { lot: 'B' } })
    if (!answer.ok) throw new Error('The target was not reached.')
    const { setting, lower, upper, at } = answer.value
    const [here, low, high] = [setting, lower ?? 0, upper ?? 0].map(
      (speed) => fit.predict([{ ...at, speed }])[0],
    )
    expect(here?.estimate).toBeCloseTo(1600, 6)
    expect(low?.confidence[0]).toBeCloseTo(1600, 6)
    expect(high?.confidence[1]).toBeCloseTo(1600, 6)
  })

  test('says where it cannot be had', () => {
    const why = (options: Partial<Parameters<typeof settingForTarget>[1]>) => {
      const answer = settingForTarget(withFrame(fit), { factor: 'speed', target: 1600, ...options })
      return answer.ok ? [] : answer.problems.map(({ code }) => code)
    }
    expect(why({ factor: 'lot' })).toEqual(['unknownColumn'])
    expect(why({ target: -5 })).toEqual(['outsideDomain'])
    expect(why({ target: 1e9 })).toEqual(['targetNotReached'])
    expect(why({ at: { lot: 'X' } })).toEqual(['unknownLevel'])
  })
})

test('intervals cover at their rate when exponents come from the prior', () => {
  const random = seeded(21)
  let misses = 0
  const speed = [2000, 3000, 4000, 5000]
  for (let i = 0; i < 1000; i++) {
    const exponent = 0.5 + 0.05 * random.normal()
    const thickness = speed.map((s) => 1e5 * s ** -exponent * Math.exp(0.01 * random.normal()))
    const fit = withPrior(tableOf({ speed, thickness }))
    if (exponent < fit.exponent.lower || exponent > fit.exponent.upper) misses++
  }
  // 95 % of 1000: 50 misses expected, standard deviation 6.9.
  expect(misses).toBeGreaterThan(50 - 4 * 6.9)
  expect(misses).toBeLessThan(50 + 4 * 6.9)
})
