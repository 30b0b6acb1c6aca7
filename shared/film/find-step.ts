import { type Answer, good, refuse } from '../problem.ts'
import { levels } from './two-levels.ts'

type Point = { position: number; height: number }

/** Means of neighbouring points on which the search runs, so that long traces take no longer. */
const searchBins = 240
/** Fewest bins on the step and on each side of it. */
const leastBins = 3
/** A step is believed where it is this many residual standard deviations high; chosen by us, no source. */
const leastStep = 5

/**
 * Finds the two edges of the one groove or ridge in a trace: first the pair of places that leaves the least
 * residual of two parallel lines, then at each of them the half height, taken at the nearest sampled position,
 * since an edge is known no better than that.
 *
 * @param points in order of position
 */
export function findStep(points: readonly Point[]): Answer<[number, number]> {
  const bins = binned(points)
  const notFound = refuse(
    'noStep',
    'No groove or ridge stands out of this trace. Give the positions of its two edges.',
  )
  const found = bins.length >= 3 * leastBins ? leastResidual(bins) : null
  if (!found) return notFound
  const [first, end] = found
  const fit = levels(bins.slice(first, end), [...bins.slice(0, first), ...bins.slice(end)])
  if (!(Math.abs(fit.step) >= leastStep * fit.residualStandardDeviation)) return notFound
  const half = (fit.inside + fit.outside) / 2
  const above = points.map((point) => point.height - fit.slope * point.position - half)
  const edge = (bin: number) => {
    const near = ((bins[bin - 1] as Point).position + (bins[bin] as Point).position) / 2
    return crossingNear(near, points, above)
  }
  const left = edge(first)
  const right = edge(end)
  return left === null || right === null || left >= right ? notFound : good([left, right])
}

function binned(points: readonly Point[]): Point[] {
  const size = Math.max(1, Math.ceil(points.length / searchBins))
  const bins: Point[] = []
  for (let start = 0; start < points.length; start += size) {
    const members = points.slice(start, start + size)
    bins.push({
      position: members.reduce((sum, point) => sum + point.position, 0) / members.length,
      height: members.reduce((sum, point) => sum + point.height, 0) / members.length,
    })
  }
  return bins
}

/** First bin on the step and first one after it, for the least sum of squared residuals. */
function leastResidual(bins: readonly Point[]): [number, number] | null {
  const middle = bins[Math.floor(bins.length / 2)] as Point
  // Sums from the start, about the middle of the trace so that squares stay small.
  const sums = [[0, 0, 0, 0, 0]]
  for (const bin of bins) {
    const x = bin.position - middle.position
    const z = bin.height - middle.height
    const [sx, sz, sxx, sxz, szz] = sums.at(-1) as [number, number, number, number, number]
    sums.push([sx + x, sz + z, sxx + x * x, sxz + x * z, szz + z * z])
  }
  const total = sums.at(-1) as number[]
  let least = Number.POSITIVE_INFINITY
  let found: [number, number] | null = null
  for (let first = leastBins; first <= bins.length - 2 * leastBins; first++)
    for (let end = first + leastBins; end <= bins.length - leastBins; end++) {
      const inside = (sums[end] as number[]).map((sum, k) => sum - ((sums[first] as number[])[k] as number))
      const outside = total.map((sum, k) => sum - (inside[k] as number))
      const [xx, xz, zz] = within(inside, end - first, outside, bins.length - end + first)
      const residual = zz - xz ** 2 / xx
      if (residual < least) {
        least = residual
        found = [first, end]
      }
    }
  return found
}

/** Sums of squares and products within the two groups together. */
function within(a: number[], na: number, b: number[], nb: number): [number, number, number] {
  const [ax, az, axx, axz, azz] = a as [number, number, number, number, number]
  const [bx, bz, bxx, bxz, bzz] = b as [number, number, number, number, number]
  return [
    axx - ax ** 2 / na + bxx - bx ** 2 / nb,
    axz - (ax * az) / na + bxz - (bx * bz) / nb,
    azz - az ** 2 / na + bzz - bz ** 2 / nb,
  ]
}

/** The sampled position nearest to the change of sign of `above` that is nearest to `near`. */
function crossingNear(near: number, points: readonly Point[], above: readonly number[]): number | null {
  let found: number | null = null
  points.forEach((point, i) => {
    const next = points[i + 1]
    const here = above[i] as number
    const there = above[i + 1]
    if (!next || there === undefined || here === there || here * there > 0) return
    const share = here / (here - there)
    const edge = share <= 0.5 ? point.position : next.position
    if (found === null || Math.abs(edge - near) < Math.abs(found - near)) found = edge
  })
  return found
}
