import {
  copyOf,
  divide,
  dot,
  entry,
  fromNumber,
  type Paired,
  paired,
  pairedColumns,
  setEntry,
  sumOfSquares,
} from './double-double.ts'
import {
  type Factorization,
  factorize,
  reflect,
  reflectBack,
  solveTransposed,
  solveUpper,
} from './factorize.ts'
import { turnInDoubles } from './factorize-in-doubles.ts'

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

/** Rows times the square of the number of columns, from which on plain doubles are tried first. */
const usuallyLarge = 100_000

/**
 * Fits by Householder QR: in double-double arithmetic, or in doubles where a problem is so large that it takes time
 * and so well conditioned that it makes no difference. Rows must already carry the roots of their weights.
 */
export function leastSquares(columns: Paired[], response: Paired, large = usuallyLarge): LeastSquares {
  const rows = response.hi.length
  const quick = rows * columns.length ** 2 >= large ? turnInDoubles(columns, response) : null
  const { factorization, effects, residualSumOfSquares } = quick ?? turnInPairs(columns, response)
  const rank = factorization.kept.length
  const estimates = paired(rank)
  solveUpper(factorization, effects).forEach((value, k) => {
    setEntry(estimates, k, divide(value, fromNumber(factorization.scales[k] as number)))
  })
  return {
    factorization,
    rank,
    df: rows - rank,
    estimates,
    effects,
    residualSumOfSquares,
    residuals: quick ? leftInDoubles(columns, response, estimates) : leftInPairs(factorization, effects),
  }
}

/** y − X·b. */
function leftInDoubles(columns: Paired[], response: Paired, estimates: Paired): Float64Array {
  const left = response.hi.slice()
  columns.forEach(({ hi }, k) => {
    const b = estimates.hi[k] as number
    for (let i = 0; i < left.length; i++) left[i] = (left[i] as number) - b * (hi[i] as number)
  })
  return left
}

/** Q times what is left of Q′y: where residuals are small beside the response they keep their digits. */
function leftInPairs(factorization: Factorization, effects: Paired): Float64Array {
  const left = copyOf(effects)
  for (let k = 0; k < factorization.kept.length; k++) setEntry(left, k, fromNumber(0))
  reflectBack(factorization, left)
  return left.hi
}

function turnInPairs(columns: Paired[], response: Paired) {
  const factorization = factorize(columns, response.hi.length)
  const effects = copyOf(response)
  reflect(factorization, effects)
  const residualSumOfSquares = dot(effects, effects, factorization.kept.length, response.hi.length).hi
  return { factorization, effects, residualSumOfSquares }
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

const halves = new WeakMap<Factorization, Paired[]>()

/**
 * (X′X)⁻¹ of the kept columns as its half W: column j of W is z with z′z = its entry (j, j). Computed once for each
 * factorization.
 */
export function inverseHalf({ factorization, rank }: LeastSquares): Paired[] {
  const known = halves.get(factorization)
  if (known) return known
  const half = pairedColumns(rank, rank)
  const unit = paired(rank)
  half.forEach((z, j) => {
    unit.hi.fill(0)
    unit.hi[j] = 1
    solveTransposed(factorization, unit, j, z)
  })
  halves.set(factorization, half)
  return half
}

/**
 * Makes z with R′·z = x for one row of kept columns after another, each written over the last: z′z = x′(X′X)⁻¹x. By the
 * inverse, which is computed once, so that it suits a search that asks for thousands of rows.
 */
export function whitener(fit: LeastSquares): (x: Paired) => Float64Array {
  const { rank } = fit
  const half = inverseHalf(fit)
  // Row k of the inverse: what each entry of x adds to entry k of z.
  const rows = pairedColumns(rank, rank)
  rows.forEach((row, k) => {
    for (let j = 0; j <= k; j++) setEntry(row, j, entry(half[j] as Paired, k))
  })
  const z = new Float64Array(rank)
  return (x) => {
    for (let k = 0; k < rank; k++) z[k] = dot(x, rows[k] as Paired, 0, k + 1).hi
    return z
  }
}

/** The share of the sum of squares that several estimates explain jointly, b′V⁻¹b, V their part of (X′X)⁻¹. */
export function jointSumOfSquares(half: Paired[], estimates: Paired, which: number[]): number {
  const [one, more] = which
  if (one !== undefined && more === undefined)
    return (estimates.hi[one] as number) ** 2 / sumOfSquares(half[one] as Paired).hi
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
