import { copyOf, divide, dot, entry, fromNumber, type Paired, paired, setEntry } from './double-double.ts'
import {
  type Factorization,
  factorize,
  reflect,
  reflectBack,
  solveTransposed,
  solveUpper,
} from './factorize.ts'

/** The least-squares fit of a response on columns. Kept columns are those that can be estimated. */
export type LeastSquares = {
  factorization: Factorization
  rank: number
  df: number
  /** By kept column, in the columns' own units. */
  estimates: Paired
  /** Q′y: squared, its first entries are the sums of squares of the kept columns in order. */
  effects: Paired
  residualSumOfSquares: number
  /** By row. */
  residuals: Float64Array
}

/** Fits by Householder QR. Rows must already carry the roots of their weights. */
export function leastSquares(columns: Paired[], response: Paired): LeastSquares {
  const rows = response.hi.length
  const factorization = factorize(columns, rows)
  const rank = factorization.kept.length
  const effects = copyOf(response)
  reflect(factorization, effects)
  const estimates = paired(rank)
  solveUpper(factorization, effects).forEach((value, k) => {
    setEntry(estimates, k, divide(value, fromNumber(factorization.scales[k] as number)))
  })
  const residuals = copyOf(effects)
  for (let k = 0; k < rank; k++) setEntry(residuals, k, fromNumber(0))
  reflectBack(factorization, residuals)
  return {
    factorization,
    rank,
    df: rows - rank,
    estimates,
    effects,
    residualSumOfSquares: dot(effects, effects, rank, rows).hi,
    residuals: residuals.hi,
  }
}

/** x′b and x′(X′X)⁻¹x for a row x of kept columns. */
export function combination(fit: LeastSquares, x: Paired): { estimate: number; variance: number } {
  const z = solveTransposed(fit.factorization, x)
  return { estimate: dot(x, fit.estimates, 0, fit.rank).hi, variance: dot(z, z, 0, fit.rank).hi }
}

/** x′(X′X)⁻¹y for two rows of kept columns. */
export function covariance(fit: LeastSquares, x: Paired, y: Paired): number {
  return dot(solveTransposed(fit.factorization, x), solveTransposed(fit.factorization, y), 0, fit.rank).hi
}

/** (X′X)⁻¹ of the kept columns as its half W: column j of W is z with z′z = its entry (j, j). */
export function inverseHalf(fit: LeastSquares): Paired[] {
  return fit.factorization.kept.map((_, j) => {
    const unit = paired(fit.rank)
    unit.hi[j] = 1
    return solveTransposed(fit.factorization, unit)
  })
}

/** The share of the sum of squares that several estimates explain jointly, b′V⁻¹b, V their part of (X′X)⁻¹. */
export function jointSumOfSquares(half: Paired[], estimates: Paired, which: number[]): number {
  const part = factorize(
    which.map((j) => half[j] as Paired),
    half.length,
  )
  const b = paired(which.length)
  which.forEach((j, k) => {
    setEntry(b, k, entry(estimates, j))
  })
  const z = solveTransposed(part, b)
  return dot(z, z, 0, which.length).hi
}
