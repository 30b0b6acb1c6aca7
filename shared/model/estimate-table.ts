import type { Fit } from '../contract/results/fit.ts'
import { tQuantile, tTwoSided } from './distributions.ts'
import { sumOfSquares } from './double-double.ts'
import type { Fitted } from './fitted.ts'
import { inverseHalf } from './least-squares.ts'

/**
 * Estimates with standard errors, t tests against 0 and intervals; all of these null without degrees of freedom.
 *
 * @param names,estimates by kept column of the solution, in order
 */
export function estimateTable(
  names: string[],
  estimates: ArrayLike<number>,
  { solution, variance }: Pick<Fitted, 'solution' | 'variance'>,
  level: number,
): Fit['terms'] {
  const half = inverseHalf(solution)
  const quantile = variance === null ? 0 : tQuantile((1 + level) / 2, solution.df)
  return names.map((term, k) => {
    const estimate = estimates[k] as number
    const z = half[k]
    if (variance === null || !z)
      return { term, estimate, standardError: null, df: null, t: null, p: null, lower: null, upper: null }
    const standardError = Math.sqrt(variance * sumOfSquares(z).hi)
    const t = standardError > 0 ? estimate / standardError : null
    const reach = quantile * standardError
    return {
      term,
      estimate,
      standardError,
      df: solution.df,
      t,
      p: t === null ? null : tTwoSided(t, solution.df),
      lower: estimate - reach,
      upper: estimate + reach,
    }
  })
}
