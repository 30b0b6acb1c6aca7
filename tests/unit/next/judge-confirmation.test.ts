import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { ConfirmationRecord } from '../../../shared/contract/results/confirmation.ts'
import { chiSquareQuantile } from '../../../shared/model/distributions.ts'
import { judgeConfirmation, type RunOfSet } from '../../../shared/next/judge-confirmation.ts'
import { daySquares, releaseInterval, setMean, summed } from '../../../shared/next/release.ts'
import { heldIn } from './released.ts'

const record: ConfirmationRecord = {
  settings: { speed: 3000 },
  model: 'log(thickness) ~ log(speed)',
  response: 'thickness',
  dataHash: '',
  scope: 'otherSession',
  target: 1500,
  tolerance: 30,
  uniformityLimit: 1,
  uniformityFormula: 'halfRangeOverMean',
  chance: { thickness: 0.9, evenness: 0.9, both: 0.81 },
  level: 0.95,
  runsByDay: [1, 1, 1],
  estimate: 1500,
  errors: { common: 1e-6, day: 4e-5, run: 2e-5, df: 10 },
  single: [1474, 1526],
  simultaneous: [1465, 1535],
  speed: { factor: 'speed', at: 3000, slope: -0.5, standardError: 0.01 },
}
const runs = (...films: [number, number][]): RunOfSet[] =>
  films.map(([measured, evenness], i) => ({
    code: `W0${i + 1}`,
    session: `Day ${i + 1}`,
    state: 'measured',
    measured,
    evenness,
  }))
const judge = (set: RunOfSet[]) =>
  judgeConfirmation({ record, scale: { name: 'thickness', function: 'log' }, runs: set, speedStep: 10 })

describe('the verdict', () => {
  test('as predicted but out of tolerance is not passed, and is told apart from a fit that is wrong', () => {
    const off = judge(runs([1532, 0.5], [1500, 0.5], [1490, 0.5]))
    expect(off).toMatchObject({ verdict: 'not passed', good: { count: 2, of: 3 } })
    expect(off.runs[0]).toMatchObject({ inside: true, inTolerance: false })
    expect(off.words.join(' ')).toContain('W01 is out of tolerance in thickness')
    expect(off.words.join(' ')).not.toContain('outside the interval')
    expect(judge(runs([1540, 0.5], [1500, 0.5], [1490, 0.5])).words[0]).toContain(
      'W01 is outside the interval for the whole set',
    )
  })

  test('a film above the limit of evenness is not good', () => {
    const uneven = judge(runs([1501, 1.2], [1500, 0.5], [1490, 0.5]))
    expect(uneven).toMatchObject({ verdict: 'not passed', good: { count: 2 } })
    expect(uneven.words.join(' ')).toContain('W01 is above the limit of evenness')
  })

  test('a bias that is more than chance names the speed: 2 % thicker at −1/2 is 4 % more', () => {
    const { bias, verdict } = judge(runs([1529, 0.5], [1529, 0.5], [1529, 0.5]))
    expect(verdict).toBe('passed')
    expect(bias!.significant).toBe(true)
    expect(bias!.speed!.at).toBeCloseTo(3000 * (1529 / 1500) ** 2, 6)
    // 3117.1 rpm, which a coater with steps of 10 rpm takes as 3120.
    expect(bias!.speed!.set).toBe(3120)
    expect(judge(runs([1505, 0.5], [1498, 0.5], [1503, 0.5])).bias).toMatchObject({
      significant: false,
      speed: null,
    })
  })
})

describe('the variance of a wafer over days', () => {
  test('as the mean squares of R’s aov(y ~ day) give it', () => {
    // R: y <- c(10.1, 10.3, 9.8, 9.9, 10.6, 10.4); anova(aov(y ~ gl(3, 2))): mean squares 0.2116667 on 2 and 0.015 on 3 df.
    const set = daySquares([
      [10.1, 10.3],
      [9.8, 9.9],
      [10.6, 10.4],
    ])
    expect(set.inverseSize).toBe(1 / 2)
    expect(set.between.variance).toBeCloseTo(0.2116667 / 2, 7)
    expect(set.within.variance).toBeCloseTo(0.015, 10)
    expect([set.between.df, set.within.df]).toEqual([2, 3])
  })

  test('one day tells nothing of days; the means of days count alike', () => {
    expect(daySquares([[1, 2, 3]]).between).toEqual({ variance: 0, df: 0 })
    expect(daySquares([[1, 3], [4]])).toMatchObject({ inverseSize: 0.75, between: { variance: 2, df: 1 } })
    expect(setMean([[1, 2], [6]], { day: 9, run: 3 })).toEqual({ mean: 3, variance: 9 * (5 / 9) + 1 })
  })

  test('degrees of freedom of a sum: those of the one part that counts, and never more than all together', () => {
    const dfs = fc.integer({ min: 1, max: 60 })
    fc.assert(
      fc.property(dfs, dfs, fc.double({ min: 1e-3, max: 1e3, noNaN: true }), (a, b, ratio) => {
        const { variance, df } = summed([
          { variance: 1, df: a },
          { variance: ratio, df: b },
        ])
        expect(variance).toBeCloseTo(1 + ratio, 10)
        expect(df).toBeGreaterThan(Math.min(a, b) - 1e-6)
        expect(df).toBeLessThan(a + b + 1e-6)
        const alone = summed([
          { variance: ratio, df: b },
          { variance: 0, df: a },
        ])
        expect(alone.df).toBeCloseTo(b, 6)
      }),
    )
  })

  test('the limit of a sum is that of Graybill and Wang: 0.1 with 2 and 0.0075 with 3 degrees of freedom', () => {
    const { variance, df } = summed([
      { variance: 0.1, df: 2 },
      { variance: 0.0075, df: 3 },
    ])
    // R: h <- function(f) f/qchisq(0.05, f) - 1; 0.1075 + sqrt((0.1*h(2))^2 + (0.0075*h(3))^2)
    expect((variance * df) / chiSquareQuantile(0.05, df)).toBeCloseTo(1.9579337675, 8)
  })
})

describe('the interval for release', () => {
  const errors = { common: 0.1, day: 0.6, run: 0.4, df: 9 }
  const interval = (days: number[][], scope: 'sameSession' | 'otherSession') =>
    releaseInterval({ days, errors, scope, share: 0.95, confidence: 0.95 })

  test('of one wafer a day and a study that knows no days: that of one normal sample', () => {
    const { lower, upper, df } = interval([[1], [2], [4]], 'sameSession')!
    expect(df).toBeCloseTo(2, 8)
    // ISO 16269-6 for three values [from memory]: 9.789 standard deviations.
    expect((upper - lower) / 2).toBeCloseTo(9.789 * Math.sqrt(7 / 3), 2)
  })

  test('one day is nothing to go by where the study knows no days, and says nothing new where it does', () => {
    expect(interval([[1, 2, 3]], 'sameSession')).toBeNull()
    expect(interval([[1, 2, 3]], 'otherSession')).toMatchObject({ df: 9, variance: 1 })
  })

  test('days that scatter as the study says bring degrees of freedom; such that do not take them', () => {
    const days = (between: number) => [-1, 0, 1].map((d) => [d * between])
    expect(interval(days(1), 'otherSession')!.df).toBeCloseTo(11, 6)
    expect(interval(days(4), 'otherSession')!.df).toBeLessThan(6)
  })

  // As the long test says, with fewer confirmations: two points for the approximation, and three binomial errors.
  test.each([
    { sessions: 1, sizes: [3, 3], day: 0.006, run: 0.005 },
    { sessions: 4, sizes: [1, 1, 1], day: 0.006, run: 0.005 },
  ])('holds 95 % of all wafers in 95 % of confirmations, after a study of $sessions sessions', (of) => {
    const sets = 60
    expect(heldIn(sets, of) / sets).toBeGreaterThan(0.93 - 3 * Math.sqrt((0.95 * 0.05) / sets))
  })
})
