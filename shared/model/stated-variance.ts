import type { RestrictedSlopes } from './restricted-likelihood.ts'

/**
 * A variance known from elsewhere than from the runs, in the square of the model response's unit. Without `df` it is
 * taken as it is; with `df` it is worth that many degrees of freedom and weighed against what the runs say.
 */
export type StatedVariance = {
  variance: number
  df?: number
  /** True where it is the program’s own default and nobody has measured it. */
  usual?: boolean
}

/** With fewer degrees of freedom a variance is hardly known (at 3, its 95 % interval spans a factor of 43). */
export const fewestStratumDf = 3

/** By level, outermost first, the residual last: what is stated, or null where the runs alone are to say it. */
export type Stated = readonly (StatedVariance | null)[]

/** Whether the variance of level i is not estimated at all. */
export function isHeld(stated: Stated, i: number): boolean {
  const one = stated[i] ?? null
  return one !== null && one.df === undefined
}

/**
 * A stated variance s² worth ν degrees of freedom enters as one more experiment would that had estimated this
 * variance alone: ν·s²/σ² is chi-squared on ν, so that −2·ln of its likelihood, ν·ln σ² + ν·s²/σ², is added to the
 * deviance. That is the density of a scaled inverse chi-squared variable in the variance, but for one factor of σ²,
 * which belongs to a density and not to data. Where the runs also estimate σ² alone, by s₁² on n, the result is
 * (n·s₁² + ν·s²)/(n + ν) on n + ν degrees of freedom, as in pooling two experiments; s² equal to what the runs say
 * changes no variance, only what is known of it; and ν without bound is the variance taken as it is.
 */
export function statedDeviance(stated: Stated, variances: ArrayLike<number>): number {
  return stated.reduce((sum, one, i) => {
    if (one?.df === undefined) return sum
    const value = variances[i]!
    return sum + one.df * (Math.log(value) + one.variance / value)
  }, 0)
}

/** Adds the slopes of half the stated deviance, its second derivatives, and their expectation ½·ν/σ⁴. */
export function addStatedSlopes(at: RestrictedSlopes, stated: Stated, variances: ArrayLike<number>): void {
  const order = variances.length
  stated.forEach((one, i) => {
    if (one?.df === undefined) return
    const value = variances[i]!
    const half = one.df / 2
    at.gradient[i]! += half * (1 / value - one.variance / value ** 2)
    at.observed[i + i * order]! += half * (-1 / value ** 2 + (2 * one.variance) / value ** 3)
    at.expected[i + i * order]! += half / value ** 2
  })
}
