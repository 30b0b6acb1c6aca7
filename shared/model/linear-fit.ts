import { type Answer, good } from '../problem.ts'
import { fUpper } from './distributions.ts'
import type { Paired } from './double-double.ts'
import type { AnyFit } from './fit.ts'
import type { Fitted } from './fitted.ts'
import { combination, covariance } from './least-squares.ts'
import type { FittedMixed, Stratum } from './mixed.ts'
import { type Combination, combinationOf, covarianceOf } from './mixed-fit.ts'
import { sequentialTest } from './mixed-tests.ts'

/** F test of some columns of a model, after those before them. */
export type FTest = { f: number | null; df1: number; df2: number; p: number | null }

/**
 * A fit that has an error, for questions about combinations of its terms: by least squares, or with variances between
 * sessions, where what two rows share in every session cancels in their difference.
 */
export type LinearFit = {
  fitted: Fitted
  /** The same fit, for predictions. */
  predictor(): Answer<AnyFit>
  /** By level of its groups, the residual last. */
  strata: Stratum[]
  /** x′b of a row x of kept columns, with its variance in the square of the model response's unit. */
  combination(x: Paired): Combination
  /** Of x′b and y′b, in that unit. */
  covariance(x: Paired, y: Paired): number
  /** Of kept columns, each given those before it. */
  sequentialTest(kept: number[]): FTest
}

/** @returns null where there are as many terms as runs, and so no error */
export function plainLinearFit(fitted: Fitted, predictor: LinearFit['predictor']): LinearFit | null {
  const { solution, variance } = fitted
  if (variance === null) return null
  const { df } = solution
  return {
    fitted,
    predictor,
    strata: [{ group: 'residual', df, variance, source: 'estimated' }],
    combination(x) {
      const { estimate, variance: share } = combination(solution, x)
      return { estimate, variance: variance * share, df }
    },
    covariance: (x, y) => variance * covariance(solution, x, y),
    sequentialTest(kept) {
      const sum = kept.reduce((total, k) => total + (solution.effects.hi[k] as number) ** 2, 0)
      const f = kept.length > 0 && variance > 0 ? sum / kept.length / variance : null
      return { f, df1: kept.length, df2: df, p: f === null ? null : fUpper(f, kept.length, df) }
    },
  }
}

/** The same of a fit with variances of groups. */
export function mixedLinearFit(model: FittedMixed): LinearFit {
  const { fitted, mixed, strata } = model
  return {
    fitted,
    predictor: () => good(model),
    strata,
    combination: (x) => combinationOf(mixed, x),
    covariance: (x, y) => covarianceOf(mixed, x, y),
    sequentialTest(kept) {
      if (kept.length === 0) return { f: null, df1: 0, df2: fitted.solution.df, p: null }
      const { f, denominatorDf } = sequentialTest(mixed, kept)
      return { f, df1: kept.length, df2: denominatorDf, p: fUpper(f, kept.length, denominatorDf) }
    },
  }
}
