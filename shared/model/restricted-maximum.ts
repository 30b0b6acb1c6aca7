import type { GroupMeans } from './group-means.ts'
import { type RestrictedSlopes, restrictedAt, restrictedSlopes } from './restricted-likelihood.ts'
import { cholesky, inner, inverseOf, solveSymmetric } from './symmetric.ts'

/** The variances at which the restricted likelihood is largest. */
export type RestrictedMaximum = {
  /** By level, outermost first, the residual last, in units of the least-squares residual variance. */
  variances: Float64Array
  at: RestrictedSlopes
  /** Covariance of the variances from their expected information; 0 for those that are stated. */
  uncertainty: Float64Array
}

const mostSteps = 200
/** Newton's decrement below this leaves nothing that a double could show. */
const leastGain = 1e-22
const starts = [1, 0.01, 30]

/**
 * Maximizes the restricted likelihood by Newton's method, variances held at or above 0, from several starts
 * (Patterson & Thompson, Biometrika 58, 1971; Lindstrom & Bates, J. Am. Stat. Assoc. 83, 1988).
 *
 * @param stated variances that are not estimated, null for those that are; the residual is always estimated
 * @returns null where no start converges
 */
export function restrictedMaximum(reduced: GroupMeans, stated: (number | null)[]): RestrictedMaximum | null {
  let best: RestrictedMaximum | null = null
  for (const ratio of starts) {
    const first = Float64Array.from(stated, (variance) => variance ?? ratio / (1 + ratio))
    first[first.length - 1] = 1 / (1 + ratio)
    const found = climb(reduced, first, stated)
    if (found && (!best || found.at.deviance < best.at.deviance - 1e-9)) best = found
  }
  return best
}

function climb(
  reduced: GroupMeans,
  start: Float64Array,
  stated: (number | null)[],
): RestrictedMaximum | null {
  let variances = start
  for (let step = 0; step < mostSteps; step++) {
    const at = restrictedSlopes(reduced, variances)
    if (!at) return null
    const free = freeOf(at, variances, stated)
    const move = newtonMove(at, free)
    const slope = -inner(
      free.map((i) => at.gradient[i]!),
      move,
    )
    const next = slope > leastGain ? downhill(reduced, variances, at.deviance, free, move, slope) : null
    if (!next) {
      // At the end of what doubles can tell the decrement is small; elsewhere the search is stuck.
      return slope < 1e-10 ? { variances, at, uncertainty: uncertaintyOf(at, stated) } : null
    }
    variances = next
  }
  return null
}

/** The variances that move: neither stated nor held at 0 by the slope. */
function freeOf(
  { gradient }: RestrictedSlopes,
  variances: Float64Array,
  stated: (number | null)[],
): number[] {
  return stated.flatMap((value, i) =>
    value !== null || (variances[i] === 0 && gradient[i]! >= 0) ? [] : [i],
  )
}

function newtonMove({ gradient, observed, expected }: RestrictedSlopes, free: number[]): Float64Array {
  const down = free.map((i) => -gradient[i]!)
  const factor = cholesky(partOf(observed, free, gradient.length), free.length)
  const usable = factor ?? cholesky(partOf(expected, free, gradient.length), free.length)
  return usable ? solveSymmetric(usable, free.length, down) : Float64Array.from(down)
}

/** The first of ever shorter steps that lowers the deviance; null where none does. */
function downhill(
  reduced: GroupMeans,
  from: Float64Array,
  deviance: number,
  free: number[],
  move: Float64Array,
  slope: number,
): Float64Array | null {
  const residual = from.length - 1
  for (let length = 1; length > 1e-12; length /= 2) {
    const next = from.slice()
    free.forEach((i, k) => {
      const target = from[i]! + length * move[k]!
      next[i] = i === residual ? Math.max(target, from[i]! / 10) : Math.max(target, 0)
    })
    if (next.every((value, i) => value === from[i])) return null
    const there = restrictedAt(reduced, next)
    if (there && there.deviance < deviance) return next
    // Rounding hides the last gains: a full step that changes nothing visible is taken once more.
    if (there && length === 1 && slope < 1e-12 && there.deviance <= deviance + 1e-12 * Math.abs(deviance)) {
      const slopes = restrictedSlopes(reduced, next)
      if (slopes && sizeOf(slopes, free) < sizeOf(restrictedSlopes(reduced, from)!, free)) return next
      return null
    }
  }
  return null
}

function sizeOf({ gradient }: RestrictedSlopes, free: number[]): number {
  return Math.hypot(...free.map((i) => gradient[i]!))
}

function partOf(matrix: Float64Array, which: number[], order: number): Float64Array {
  const part = new Float64Array(which.length ** 2)
  which.forEach((column, j) => {
    which.forEach((row, i) => {
      part[i + j * which.length] = matrix[row + column * order]!
    })
  })
  return part
}

function uncertaintyOf({ expected, gradient }: RestrictedSlopes, stated: (number | null)[]): Float64Array {
  const order = gradient.length
  const estimated = stated.flatMap((value, i) => (value === null ? [i] : []))
  const result = new Float64Array(order * order)
  const factor = cholesky(partOf(expected, estimated, order), estimated.length)
  if (!factor) return result
  const inverse = inverseOf(factor, estimated.length)
  estimated.forEach((column, j) => {
    estimated.forEach((row, i) => {
      result[row + column * order] = inverse[i + j * estimated.length]!
    })
  })
  return result
}
