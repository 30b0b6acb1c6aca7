import { paired } from './double-double.ts'
import { reflectBack } from './factorize.ts'
import type { Fitted } from './fitted.ts'

/**
 * A least-squares fit on the orthonormal Q of X = Q·R: its columns, and as response the residual of the fit in
 * units of its standard deviation. Computations on it do not depend on the units of columns or on constants in the
 * response, and large means cost no digits.
 */
export type Orthonormal = {
  rows: number
  /** Number of columns, without the response. */
  p: number
  /** [Q, response] row after row, each times the root of its weight. */
  entries: Float64Array
  /** Standard deviation of the least-squares residuals. */
  unit: number
}

/** @param fitted a fit that leaves degrees of freedom and a residual */
export function orthonormal({ solution, frame }: Fitted): Orthonormal {
  const rows = frame.rows.length
  const p = solution.rank
  const size = p + 1
  const unit = Math.sqrt(solution.residualSumOfSquares / solution.df)
  const entries = new Float64Array(rows * size)
  for (let k = 0; k < p; k++) {
    const column = paired(rows)
    column.hi[k] = 1
    reflectBack(solution.factorization, column)
    for (let i = 0; i < rows; i++) entries[i * size + k] = column.hi[i]!
  }
  for (let i = 0; i < rows; i++) entries[i * size + p] = solution.residuals[i]! / unit
  return { rows, p, entries, unit }
}

/** What the columns of Q leave over of a vector, by the rows of the fit; the vector stays as it is. */
export function leftOver({ rows, p, entries }: Orthonormal, y: ArrayLike<number>): Float64Array {
  const left = Float64Array.from(y)
  for (let k = 0; k < p; k++) {
    let along = 0
    for (let i = 0; i < rows; i++) along += entries[i * (p + 1) + k]! * y[i]!
    for (let i = 0; i < rows; i++) left[i] = left[i]! - along * entries[i * (p + 1) + k]!
  }
  return left
}
