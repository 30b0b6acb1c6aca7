import { type Answer, good, refuse } from '../problem.ts'
import type { TracePoint } from './step-height.ts'
import type { StepKind, StepPlace } from './step-regions.ts'
import { coarse, leastResidual, type Split } from './step-search.ts'
import { fitLevels, type Levels } from './two-levels.ts'

/** A step is believed where it is this many residual standard deviations high; chosen by us, no source. */
const leastStep = 5
/** Heights apart by less than this share of their range are one height. */
const rounding = 1e-6
const leastBins = 9

/**
 * Finds the one groove or ridge in a trace, or its one edge: the places that leave the least residual of two levels
 * with a common parabola, which is taken for the search alone. Whether one or two edges, the lesser residual says. At
 * each edge the half height is taken, at the nearest sampled position, since an edge is known no better than that.
 *
 * @param points in order of position
 * @param kind what to look for, where it is known
 */
export function findStep(points: readonly TracePoint[], kind?: StepKind): Answer<StepPlace> {
  const what = kind === undefined ? 'groove, ridge or edge' : kind === 'edge' ? 'edge' : 'groove or ridge'
  const notFound = refuse(
    'noStep',
    `No ${what} stands out of this trace. Give the positions of its edges yourself.`,
  )
  const bins = coarse(points)
  if (bins.length < leastBins) return notFound
  const { step, edge } = leastResidual(bins)
  const single =
    kind === undefined ? (edge?.residual ?? Infinity) < (step?.residual ?? Infinity) : kind === 'edge'
  const split = single ? edge : step
  if (!split) return notFound
  const fit = levelsOf(bins, split)
  if (!standsOut(fit, bins)) return notFound
  const half = (fit.inside + fit.outside) / 2
  const above = points.map(({ position, height }) => height - half - formAt(fit, position))
  const crossing = (bin: number) =>
    crossingNear(((bins[bin - 1]?.position ?? 0) + (bins[bin]?.position ?? 0)) / 2, points, above)
  const left = crossing(split.first)
  if (left === null) return notFound
  if (single) return good({ kind: 'edge', edges: transition(bins, left, fit) })
  const right = crossing(split.end)
  return right === null || left >= right ? notFound : good({ kind: 'step', edges: [left, right] })
}

const formAt = (fit: Levels, position: number) =>
  fit.slope * (position - fit.at) + fit.bow * (position - fit.at) ** 2

function levelsOf(bins: readonly TracePoint[], { first, end }: Split): Levels {
  return fitLevels(
    {
      x: Float64Array.from(bins, (bin) => bin.position),
      z: Float64Array.from(bins, (bin) => bin.height),
      inside: Uint8Array.from(bins, (_, i) => (i >= first && i < end ? 1 : 0)),
    },
    { bow: true },
  )
}

function standsOut(fit: Levels, bins: readonly TracePoint[]): boolean {
  const squares = fit.residuals.reduce((sum, residual) => sum + residual ** 2, 0)
  const scatter = Math.sqrt(squares / Math.max(1, bins.length - 4))
  const heights = bins.map((bin) => bin.height)
  const range = Math.max(...heights) - Math.min(...heights)
  return Math.abs(fit.step) >= leastStep * scatter && Math.abs(fit.step) > rounding * range
}

/** Off its level by less than this share of the step, a bin lies on it. */
const levelAgain = 0.01

/**
 * From where to where an edge is neither on the one level nor on the other, and a third as much on both sides, as type
 * A1 keeps away from the edges of a groove.
 */
function transition(bins: readonly TracePoint[], middle: number, fit: Levels): [number, number] {
  const size = (i: number) => Math.abs(fit.residuals[i] as number)
  const sizes = bins.map((_, i) => size(i)).sort((a, b) => a - b)
  const scatter = 1.4826 * (sizes[Math.floor(sizes.length / 2)] as number)
  const near = Math.max(levelAgain * Math.abs(fit.step), 3 * scatter)
  const after = bins.findIndex((bin) => bin.position >= middle)
  const settled = (from: number, by: 1 | -1) => {
    let at = from
    while (bins[at + 3 * by] && ![0, 1, 2].every((k) => size(at + k * by) <= near)) at += by
    return bins[at]?.position ?? middle
  }
  const [from, to] = [settled(after - 1, -1), settled(after, 1)]
  const guard = (to - from) / 3
  return [from - guard, to + guard]
}

/** The sampled position nearest to the change of sign of `above` that is nearest to `near`. */
function crossingNear(near: number, points: readonly TracePoint[], above: readonly number[]): number | null {
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
