import { describe, expect, test } from 'vitest'
import type { SetErrors } from '../../../shared/contract/results/next.ts'
import { planConfirmation } from '../../../shared/next/confirmation.ts'
import { leastShare } from '../../../shared/next/least-share.ts'
import { simultaneousFactor } from '../../../shared/next/simultaneous.ts'
import { toleranceFactor } from '../../../shared/next/tolerance-factor.ts'

describe('the factor for a whole set of runs', () => {
  const factor = (runsByDay: number[], common: number, day: number, run: number, df: number) =>
    simultaneousFactor({ runsByDay, errors: { common, day, run, df }, level: 0.95 })

  // scipy 1.17.1: c with scipy.stats.multivariate_t.cdf([c]*n, shape=V, df=df, lower_limit=[-c]*n) = 0.95, V the
  // correlations of common, day and run variances; by brentq, maxpts 400000. The simulation is good to about 1 %.
  test.each([
    { runsByDay: [1], variances: [1, 1, 1], df: 7, expected: 2.36463 },
    { runsByDay: [1, 1, 1], variances: [0, 0, 1], df: Number.POSITIVE_INFINITY, expected: 2.38773 },
    { runsByDay: [3], variances: [0.1, 0.5, 0.4], df: 8, expected: 2.84119 },
    { runsByDay: [1, 1, 1], variances: [0.1, 0.5, 0.4], df: 8, expected: 2.95498 },
    { runsByDay: [2, 2, 2], variances: [0.2, 0.5, 0.3], df: 5, expected: 3.78681 },
    { runsByDay: [5], variances: [0.05, 0.6, 0.35], df: Number.POSITIVE_INFINITY, expected: 2.45968 },
  ])('$runsByDay runs by day, variances $variances, $df df', ({ runsByDay, variances, df, expected }) => {
    const [common, day, run] = variances as [number, number, number]
    expect(Math.abs(factor(runsByDay, common, day, run, df) / expected - 1)).toBeLessThan(0.015)
  })

  test('the same seed gives the same factor; more runs a wider one', () => {
    expect(factor([2, 2], 0.1, 0.5, 0.4, 8)).toBe(factor([2, 2], 0.1, 0.5, 0.4, 8))
    expect(factor([2, 2, 2], 0.1, 0.5, 0.4, 8)).toBeGreaterThan(factor([1, 1, 1], 0.1, 0.5, 0.4, 8))
  })

  test('one run is held to its own interval', () => {
    const errors: SetErrors = { common: 1, day: 2, run: 1, df: 12 }
    const { lower, upper } = planConfirmation({ mean: 5, errors, runsByDay: [1] })
    // 5 ± t(0.975; 12)·2
    expect(upper).toBeCloseTo(5 + 2 * 2.178813, 1)
    expect((lower + upper) / 2).toBeCloseTo(5, 10)
  })
})

describe('the share in tolerance (Clopper & Pearson 1934)', () => {
  test('all of 3 show 37 %, all of 5 show 55 %: 0.05^(1/n)', () => {
    expect(leastShare(3, 3)).toBeCloseTo(0.3684, 4)
    expect(leastShare(5, 5)).toBeCloseTo(0.5493, 4)
  })

  test('as R’s binom.test(k, n, alternative = "greater") says', () => {
    expect(leastShare(4, 5)).toBeCloseTo(0.3425917, 6)
    expect(leastShare(17, 20)).toBeCloseTo(0.6563363, 6)
    expect(leastShare(0, 4)).toBe(0)
  })
})

describe('tolerance factors', () => {
  test('two-sided, 95 % of all with 95 % confidence: ISO 16269-6, for one sample [from memory]', () => {
    for (const [n, exact] of [
      [2, 36.519],
      [3, 9.789],
      [5, 5.077],
      [10, 3.393],
      [20, 2.76],
      [30, 2.555],
    ] as const)
      expect(toleranceFactor(n, n - 1)).toBeCloseTo(exact, 3)
  })

  // R: tolerance-factors.R beside this file.
  test.each([
    [3, 12, 3.49517549],
    [4.5, 2.7, 6.877258424],
    [6, 7.3, 3.757967868],
    [3, 1.4, 16.75109289],
  ])('of a mean of %d wafers with %d degrees of freedom', (n, df, expected) => {
    expect(toleranceFactor(n, df)).toBeCloseTo(expected, 6)
  })

  test('near the approximation of NIST/SEMATECH e-Handbook 7.2.6.3: 90 % of all, 99 % confidence, 43 values: 2.217 [from memory]', () => {
    expect(toleranceFactor(43, 42, 0.9, 0.99)).toBeCloseTo(2.222825, 6)
    expect(Math.abs(toleranceFactor(43, 42, 0.9, 0.99) / 2.217 - 1)).toBeLessThan(0.005)
  })

  test('of a standard deviation that is as good as known', () => {
    // The content of ±k about a mean 1.96/√6 off is 95 %: sqrt(qchisq(0.95, 1, ncp = qchisq(0.95, 1)/6)) in R.
    expect(Math.abs(toleranceFactor(6, 1e6) / 2.450611196 - 1)).toBeLessThan(0.005)
  })
})
