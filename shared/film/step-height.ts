import { type Answer, good, refuse } from '../problem.ts'
import { findStep } from './find-step.ts'
import { levels } from './two-levels.ts'

/** One point of a profilometer trace: position in µm, height in nm. */
export type TracePoint = { position: number; height: number }

type Region = [number, number]

/**
 * Step height of a trace: `step` in nm, positive for a ridge and negative for a groove; slope of the trace in
 * nm/µm; width and regions in µm.
 */
export type StepHeight = {
  step: number
  standardUncertainty: number
  slope: number
  residualStandardDeviation: number
  width: number
  regions: { left: Region; middle: Region; right: Region }
}

/** Share of the width by which a point may lie outside a region and still count, for rounding alone. */
const boundaryTolerance = 1e-9
const leastPoints = 3

/**
 * Step height of a groove or ridge after ISO 5436-1:2000, type A1: two parallel lines by least squares, one
 * through the parts outside (from a third of the width beyond each edge to a full width), one through the
 * middle third; the step is their distance. A bow of the trace is not taken out.
 *
 * The standard uncertainty comes from the residuals as if they were independent; neighbouring points of a
 * trace are not, so it is a lower bound, and the calibration of the instrument is not in it.
 *
 * @param options.edges positions of the two edges, µm; without them the step is looked for
 */
export function stepHeight(
  trace: readonly TracePoint[],
  options: { edges?: [number, number] } = {},
): Answer<StepHeight> {
  const points = [...trace].sort((a, b) => a.position - b.position)
  const edges = options.edges ? good(options.edges) : findStep(points)
  if (!edges.ok) return edges
  const [leftEdge, rightEdge] = edges.value
  const width = rightEdge - leftEdge
  if (!(width > 0))
    return refuse('badStep', `The left edge, ${leftEdge} µm, must lie before the right one, ${rightEdge} µm.`)

  const centre = (leftEdge + rightEdge) / 2
  const first = points[0]?.position ?? 0
  const last = points.at(-1)?.position ?? 0
  const regions: StepHeight['regions'] = {
    left: [Math.max(first, centre - (3 * width) / 2), centre - (5 * width) / 6],
    middle: [centre - width / 6, centre + width / 6],
    right: [centre + (5 * width) / 6, Math.min(last, centre + (3 * width) / 2)],
  }
  const slack = boundaryTolerance * width
  const within = ([from, to]: Region) =>
    points.filter(({ position }) => position >= from - slack && position <= to + slack)
  const middle = within(regions.middle)
  const left = within(regions.left)
  const right = within(regions.right)
  for (const [name, found] of Object.entries({ left, middle, right }))
    if (found.length < leastPoints)
      return refuse(
        'traceTooShort',
        `The ${name} part of the step holds ${found.length} points of the trace; it needs ${leastPoints} at ` +
          `least. The trace should reach one width of the step, ${Number(width.toPrecision(4))} µm, beyond each edge.`,
      )

  const fit = levels(middle, [...left, ...right])
  return good({
    step: fit.step,
    standardUncertainty: fit.standardUncertainty,
    slope: fit.slope,
    residualStandardDeviation: fit.residualStandardDeviation,
    width,
    regions,
  })
}
