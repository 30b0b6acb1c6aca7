import type { PredictionResult } from '../contract/results/fit.ts'
import type { Paired } from './double-double.ts'
import { solveTransposed } from './factorize.ts'
import type { Fitted } from './fitted.ts'
import type { GroupMeans } from './group-means.ts'
import { inverseHalf } from './least-squares.ts'
import type { RestrictedMaximum } from './restricted-maximum.ts'
import type { Stated } from './stated-variance.ts'
import { form, inner } from './symmetric.ts'

/** By the runs alone, or with what earlier studies or a person say. */
export type VarianceSource = PredictionResult['varianceSource']

/** A model with groups within groups, fitted: what its report, tests and predictions are computed from. */
export type MixedFit = {
  /** The least-squares fit of the fixed effects, which gives rows, columns and units. */
  fitted: Fitted
  reduced: GroupMeans
  maximum: RestrictedMaximum
  /** By level, the residual last: where the variance comes from, and what was stated of it, if anything. */
  sources: VarianceSource[]
  stated: Stated
  /** Degrees of freedom of each stratum, the residual last. */
  strata: number[]
}

/** A combination of the fixed effects, with its error. */
export type Combination = { estimate: number; variance: number; df: number }

/** Variances in the square of the model response's unit: by level, outermost first, the residual last. */
export function variancesOf({ reduced, maximum }: MixedFit): number[] {
  return Array.from(maximum.variances, (variance) => variance * reduced.unit ** 2)
}

/**
 * Degrees of freedom of an estimated variance, 2·v² / var(v) (Satterthwaite, Biometrics Bulletin 2, 1946; Giesbrecht
 * & Burns, Biometrics 41, 1985). A mean square has at least one; near a variance estimated as 0 the slopes alone can
 * give a fraction of one, and are held to that.
 *
 * @param slopes of v by the variances
 */
export function satterthwaite(fit: MixedFit, v: number, slopes: Float64Array): number {
  const { uncertainty, variances } = fit.maximum
  const df = (2 * v * v) / form(uncertainty, variances.length, slopes, slopes)
  return Math.max(df, 1)
}

/** Slopes of z′Φz by the variances, Φ being the covariance of the estimates on Q. */
export function slopesAlong({ maximum, reduced }: MixedFit, z: ArrayLike<number>): Float64Array {
  return Float64Array.from(maximum.at.covarianceSlopes, (slope) => form(slope, reduced.p, z, z))
}

/** A row of kept columns on Q: its products with the covariance of the estimates on Q are its own. */
export function onQ({ fitted }: MixedFit, x: Paired): Float64Array {
  return solveTransposed(fitted.solution.factorization, x).hi
}

/** x′β for a row x of kept columns, that is z on Q. */
export function estimateAt({ fitted, reduced, maximum }: MixedFit, x: Paired, z: Float64Array): number {
  return inner(x.hi, fitted.solution.estimates.hi) + reduced.unit * inner(z, maximum.at.estimates)
}

/** Estimate and error of x′β for a row x of kept columns. */
export function combinationOf(fit: MixedFit, x: Paired): Combination {
  const { reduced, maximum } = fit
  const z = onQ(fit, x)
  const variance = form(maximum.at.covariance, reduced.p, z, z)
  return {
    estimate: estimateAt(fit, x, z),
    variance: variance * reduced.unit ** 2,
    df: satterthwaite(fit, variance, slopesAlong(fit, z)),
  }
}

/** Covariance of x′β and y′β for two rows of kept columns, in the square of the model response's unit. */
export function covarianceOf({ fitted, reduced, maximum }: MixedFit, x: Paired, y: Paired): number {
  const { factorization } = fitted.solution
  const [a, b] = [solveTransposed(factorization, x).hi, solveTransposed(factorization, y).hi]
  return form(maximum.at.covariance, reduced.p, a, b) * reduced.unit ** 2
}

/** Each fixed effect with its error, by kept column. */
export function fixedEffects(fit: MixedFit): Combination[] {
  const { fitted, reduced, maximum } = fit
  return inverseHalf(fitted.solution).map(({ hi: z }, k) => {
    const variance = form(maximum.at.covariance, reduced.p, z, z)
    return {
      estimate: fitted.solution.estimates.hi[k]! + reduced.unit * inner(z, maximum.at.estimates),
      variance: variance * reduced.unit ** 2,
      df: satterthwaite(fit, variance, slopesAlong(fit, z)),
    }
  })
}

/** Names of the fixed effects, by kept column. */
export function keptNames({ fitted }: MixedFit): string[] {
  return fitted.solution.factorization.kept.map((column) => fitted.columns[column]?.name ?? '')
}
