import type { GroupMeans } from './group-means.ts'
import { type RestrictedSlopes, restrictedAt, restrictedSlopes } from './restricted-likelihood.ts'
import { addStatedSlopes, isHeld, type Stated, statedDeviance } from './stated-variance.ts'
import { cholesky, inner, inverseOf, solveSymmetric } from './symmetric.ts'

/** The variances at which the restricted likelihood is largest. */
export type RestrictedMaximum = {
  /** By level, outermost first, the residual last, in units of the least-squares residual variance. */
  variances: Float64Array
  at: RestrictedSlopes
  /** Covariance of the variances from their expected information; 0 for those that are held as stated. */
  uncertainty: Float64Array
}

const mostSteps = 200
/** Newton's decrement below this leaves nothing that a double could show. */
const leastGain = 1e-22
const starts = [1, 0.01, 30]

/**
 * Maximizes the restricted likelihood by Newton's method, variances kept at or above 0, from several starts
 * (Patterson & Thompson, Biometrika 58, 1971; Lindstrom & Bates, J. Am. Stat. Assoc. 83, 1988).
 *
 * @param stated in the units of the variances; the residual is never held
 * @returns null where no start converges
 */
export function restrictedMaximum(reduced: GroupMeans, stated: Stated): RestrictedMaximum | null {
  let best: RestrictedMaximum | null = null
  let least = Number.POSITIVE_INFINITY
  for (const ratio of starts) {
    const first = Float64Array.from(stated, (one) => one?.variance ?? ratio / (1 + ratio))
    first[first.length - 1] = 1 / (1 + ratio)
    const found = climb(reduced, first, stated)
    if (!found) continue
    const deviance = found.at.deviance + statedDeviance(stated, found.variances)
    if (best && deviance >= least - 1e-9) continue
    best = found
    least = deviance
  }
  return best
}

function climb(reduced: GroupMeans, start: Float64Array, stated: Stated): RestrictedMaximum | null {
  let variances = start
  for (let step = 0; step < mostSteps; step++) {
    const at = slopesAt(reduced, variances, stated)
    if (!at) return null
    const free = freeOf(at, variances, stated)
    const move = newtonMove(at, free)
    const slope = -inner(
      free.map((i) => at.gradient[i]!),
      move,
    )
    const next = slope > leastGain ? downhill({ reduced, stated }, variances, at, free, move, slope) : null
    if (!next) {
      // At the end of what doubles can tell the decrement is small; elsewhere the search is stuck.
      return slope < 1e-10 ? { variances, at, uncertainty: uncertaintyOf(at, stated) } : null
    }
    variances = next
  }
  return null
}

/** The restricted likelihood with what is stated; its deviance stays that of the runs alone. */
function slopesAt(reduced: GroupMeans, variances: Float64Array, stated: Stated): RestrictedSlopes | null {
  const at = restrictedSlopes(reduced, variances)
  if (at) addStatedSlopes(at, stated, variances)
  return at
}

/** The variances that move: neither held as stated nor held at 0 by the slope. */
function freeOf({ gradient }: RestrictedSlopes, variances: Float64Array, stated: Stated): number[] {
  return stated.flatMap((_, i) => (isHeld(stated, i) || (variances[i] === 0 && gradient[i]! >= 0) ? [] : [i]))
}

function newtonMove({ gradient, observed, expected }: RestrictedSlopes, free: number[]): Float64Array {
  const down = free.map((i) => -gradient[i]!)
  const factor = cholesky(partOf(observed, free, gradient.length), free.length)
  const usable = factor ?? cholesky(partOf(expected, free, gradient.length), free.length)
  return usable ? solveSymmetric(usable, free.length, down) : Float64Array.from(down)
}

/** The first of ever shorter steps that lowers the deviance; null where none does. */
function downhill(
  { reduced, stated }: { reduced: GroupMeans; stated: Stated },
  from: Float64Array,
  here: RestrictedSlopes,
  free: number[],
  move: Float64Array,
  slope: number,
): Float64Array | null {
  const deviance = here.deviance + statedDeviance(stated, from)
  // The residual and a variance that is weighed against a stated one stay above 0.
  const positive = (i: number) => i === from.length - 1 || stated[i]?.df !== undefined
  for (let length = 1; length > 1e-12; length /= 2) {
    const next = from.slice()
    free.forEach((i, k) => {
      const target = from[i]! + length * move[k]!
      next[i] = Math.max(target, positive(i) ? from[i]! / 10 : 0)
    })
    if (next.every((value, i) => value === from[i])) return null
    const point = restrictedAt(reduced, next)
    if (!point) continue
    const there = point.deviance + statedDeviance(stated, next)
    if (there < deviance) return next
    // Rounding hides the last gains: a full step that changes nothing visible is taken once more.
    if (length === 1 && slope < 1e-12 && there <= deviance + 1e-12 * Math.abs(deviance)) {
      const slopes = slopesAt(reduced, next, stated)
      if (slopes && sizeOf(slopes, free) < sizeOf(here, free)) return next
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

function uncertaintyOf({ expected, gradient }: RestrictedSlopes, stated: Stated): Float64Array {
  const order = gradient.length
  const estimated = stated.flatMap((_, i) => (isHeld(stated, i) ? [] : [i]))
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
