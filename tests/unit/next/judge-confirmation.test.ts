import { describe, expect, test } from 'vitest'
import type { ConfirmationRecord } from '../../../shared/contract/results/confirmation.ts'
import { normalCdf } from '../../../shared/model/distributions.ts'
import { judgeConfirmation, type RunOfSet } from '../../../shared/next/judge-confirmation.ts'
import { releaseInterval, setMean, waferVariance } from '../../../shared/next/release.ts'
import { seeded } from '../../../shared/random.ts'

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
    const found = waferVariance([
      [10.1, 10.3],
      [9.8, 9.9],
      [10.6, 10.4],
    ])!
    const [between, within] = [0.635 / 6, 0.015 / 2]
    expect(found.variance).toBeCloseTo(between + within, 10)
    expect(found.df).toBeCloseTo((between + within) ** 2 / (between ** 2 / 2 + within ** 2 / 3), 8)
  })

  test('one wafer a day: the sample variance with n − 1 degrees of freedom; one day tells nothing', () => {
    expect(waferVariance([[1], [2], [4]])).toEqual({ variance: expect.closeTo(7 / 3, 12), df: 2 })
    expect(waferVariance([[1, 2, 3]])).toBeNull()
    expect(setMean([[1, 2], [6]], { day: 9, run: 3 })).toEqual({ mean: 3, variance: 9 * (5 / 9) + 1 })
  })
})

test('the interval for release holds 95 % of all wafers in at least about 95 % of confirmations', () => {
  const random = seeded(5)
  const [day, run, df] = [0.6, 0.4, 12]
  const sets = 1000
  let held = 0
  for (let i = 0; i < sets; i++) {
    let chi = 0
    for (let k = 0; k < df; k++) chi += random.normal() ** 2
    const days = Array.from({ length: 3 }, () => {
      const ofDay = Math.sqrt(day) * random.normal()
      return [0, 1].map(() => ofDay + Math.sqrt(run) * random.normal())
    })
    const errors = { common: 0.1, day: (day * chi) / df, run: (run * chi) / df, df }
    const { lower, upper } = releaseInterval({ days, errors, share: 0.95, confidence: 0.95 })
    if (normalCdf(upper) - normalCdf(lower) >= 0.95) held++
  }
  // Three binomial standard errors below, and a little for the approximation.
  expect(held / sets).toBeGreaterThan(0.95 - 3 * Math.sqrt((0.95 * 0.05) / sets) - 0.01)
})
