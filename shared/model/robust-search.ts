import type { Random } from '../random.ts'
import type { Orthonormal } from './orthonormal.ts'
import { bisquareLoss, biweight, medianScale, type RobustKind, robustWeight } from './robust-weights.ts'
import { cholesky, solveSymmetric } from './symmetric.ts'

/** Coefficients on the orthonormal columns, with the scale of what they leave. */
export type RobustSolution = { coefficients: Float64Array; scale: number }

const mostSteps = 2000
const settled = 1e-13

/** What the coefficients leave of the response, by row. */
export function leftBy({ rows, p, entries }: Orthonormal, coefficients: Float64Array): Float64Array {
  const size = p + 1
  return Float64Array.from({ length: rows }, (_, i) => {
    let left = entries[i * size + p]!
    for (let k = 0; k < p; k++) left -= coefficients[k]! * entries[i * size + k]!
    return left
  })
}

/** Weighted least squares; null where the weighted rows cannot tell the columns apart. */
function weighedFit({ rows, p, entries }: Orthonormal, weights: Float64Array): Float64Array | null {
  const size = p + 1
  const products = new Float64Array(p * p)
  const cross = new Float64Array(p)
  for (let i = 0; i < rows; i++) {
    const weight = weights[i]!
    if (weight === 0) continue
    for (let j = 0; j < p; j++) {
      const factor = weight * entries[i * size + j]!
      for (let k = j; k < p; k++) products[k + j * p]! += factor * entries[i * size + k]!
      cross[j]! += factor * entries[i * size + p]!
    }
  }
  const factor = cholesky(products, p)
  return factor && solveSymmetric(factor, p, cross)
}

/**
 * M-estimate by reweighting until nothing changes. Huber's scale is the median of the absolute residuals, computed
 * anew at each step, from a start at least squares; the bisquare keeps the scale of its start.
 *
 * @returns null where the search does not settle, or more than half of the rows are fitted exactly
 */
export function mEstimate(
  data: Orthonormal,
  kind: RobustKind,
  start: RobustSolution | null,
): RobustSolution | null {
  let coefficients = start?.coefficients ?? new Float64Array(data.p)
  for (let step = 0; step < mostSteps; step++) {
    const left = leftBy(data, coefficients)
    const scale = start?.scale ?? medianScale(left)
    if (!(scale > 1e-12)) return null
    const next = weighedFit(
      data,
      left.map((value) => robustWeight(kind, value / scale)),
    )
    if (!next) return null
    const moved = Math.hypot(...next.map((value, k) => value - coefficients[k]!))
    coefficients = next
    if (moved <= settled * scale * Math.sqrt(data.rows)) return { coefficients, scale }
  }
  return null
}

/** The loss at this multiple of the scale gives an S-estimate that half of the rows cannot break. */
const breakdown = { constant: 1.548, loss: 0.5 }

/** The s with Σ loss(r / (1.548·s)) = (n − p) / 2, from a first guess. */
function bisquareScale(left: Float64Array, p: number, guess: number): number {
  let scale = guess
  for (let step = 0; step < mostSteps; step++) {
    let sum = 0
    for (const value of left) sum += bisquareLoss(value / (breakdown.constant * scale))
    const next = scale * Math.sqrt(sum / (breakdown.loss * (left.length - p)))
    if (Math.abs(next - scale) <= settled * scale || !(next > 0)) return next
    scale = next
  }
  return scale
}

const fewestSamples = 500
const mostSamples = 5000
/** How many of the best samples are followed to their end. */
const followed = 8

/**
 * S-estimate: the coefficients whose residuals have the least bisquare scale (Rousseeuw & Yohai, 1984), sought from
 * exact fits to random samples, each improved by two reweightings and the best to the end (Salibian-Barrera &
 * Yohai, J. Comput. Graph. Stat. 15, 2006).
 *
 * @returns null where the rows give no sample that tells the columns apart, or half of them are fitted exactly
 */
export function sEstimate(data: Orthonormal, random: Random): RobustSolution | null {
  const { p, rows } = data
  // With half of the rows bad, one sample in 2^p is clean: enough for a miss in a thousand.
  const wanted = Math.min(
    mostSamples,
    Math.max(fewestSamples, Math.ceil(Math.log(1e-3) / Math.log1p(-(0.5 ** p)))),
  )
  const best: RobustSolution[] = []
  const keep = (coefficients: Float64Array) => {
    const found = improved(data, coefficients, 2)
    if (!found) return
    best.push(found)
    best.sort((a, b) => a.scale - b.scale)
    if (best.length > followed) best.pop()
  }
  keep(new Float64Array(p))
  let drawn = 0
  for (let attempt = 0; attempt < 10 * wanted && drawn < wanted; attempt++) {
    const chosen = sampleOf(random, rows, p)
    const exact = weighedFit(
      data,
      Float64Array.from({ length: rows }, (_, i) => (chosen.has(i) ? 1 : 0)),
    )
    if (!exact?.every((value) => Math.abs(value) < 1e6)) continue
    drawn++
    keep(exact)
  }
  const ends = best.flatMap(({ coefficients }) => improved(data, coefficients, mostSteps) ?? [])
  return ends.reduce<RobustSolution | null>((a, b) => (a && a.scale <= b.scale ? a : b), null)
}

function sampleOf(random: Random, rows: number, p: number): Set<number> {
  const chosen = new Set<number>()
  while (chosen.size < p) chosen.add(random.below(rows))
  return chosen
}

function improved(data: Orthonormal, start: Float64Array, steps: number): RobustSolution | null {
  let coefficients = start
  let left = leftBy(data, coefficients)
  let scale = bisquareScale(left, data.p, medianScale(left) || 1)
  for (let step = 0; step < steps; step++) {
    if (!(scale > 1e-12)) return null
    const next = weighedFit(
      data,
      left.map((value) => biweight(value / (breakdown.constant * scale))),
    )
    if (!next) return null
    const moved = Math.hypot(...next.map((value, k) => value - coefficients[k]!))
    coefficients = next
    left = leftBy(data, coefficients)
    scale = bisquareScale(left, data.p, scale)
    if (moved <= settled * scale * Math.sqrt(data.rows)) break
  }
  return scale > 1e-12 ? { coefficients, scale } : null
}
