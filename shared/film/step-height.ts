import { plainNumber } from '../charts/format.ts'
import type { StepHeight } from '../contract/results/trace.ts'
import { largest, smallest } from '../extremes.ts'
import { type Answer, good, refuse } from '../problem.ts'
import { effectiveNumber } from './effective-number.ts'
import { findStep } from './find-step.ts'
import { otherRegions, type Region, type StepKind, type StepRegions, stepRegions } from './step-regions.ts'
import { stepWarnings } from './step-warnings.ts'
import { fitCleanLevels, fitLevels, type Levels, type TwoLevels, within } from './two-levels.ts'

/** One point of a profilometer trace: position in µm, height in nm. */
export type TracePoint = { position: number; height: number }

/** How a trace is to be evaluated; what is left open is found. */
export type StepOptions = {
  /** Two edges, or the beginning and end of one transition, µm. */
  edges?: [number, number]
  /** Whether `edges` are those of a groove or ridge, or one edge; without edges, what is looked for. */
  kind?: StepKind
  /** Whether a parabola common to both levels is taken out, where the standard has a straight line. */
  bow?: boolean
}

/** Share of the width by which a point may lie outside a region and still count, for rounding alone. */
const boundaryTolerance = 1e-9
const leastPoints = 3

/**
 * Step height of a groove or ridge after ISO 5436-1:2000, type A1: two parallel lines by least squares, one through
 * the parts outside and one through the middle third; the step is their distance. A single edge is evaluated by the
 * same two lines on its two sides, at the middle of its transition, and is named `edge`. Spikes and debris are left
 * out and counted.
 *
 * The standard uncertainty combines three parts: of the residuals, with the number of points that their
 * autocorrelation leaves; of the choice of regions, half the range over other choices as a rectangular distribution
 * (JCGM 100:2008, 4.3.7); and of the form, by how much a common parabola would change the step.
 * The calibration of the instrument is not in it.
 */
export function stepHeight(trace: readonly TracePoint[], options: StepOptions = {}): Answer<StepHeight> {
  const points = [...trace].sort((a, b) => a.position - b.position)
  const place = options.edges
    ? good({ kind: options.kind ?? ('step' as const), edges: options.edges })
    : findStep(points, options.kind)
  if (!place.ok) return place
  const { kind, edges } = place.value
  const width = edges[1] - edges[0]
  if (!(width > 0))
    return refuse('badStep', `The left edge, ${edges[0]} µm, must lie before the right one, ${edges[1]} µm.`)

  const ends: Region = [points[0]?.position ?? 0, points.at(-1)?.position ?? 0]
  const regions = stepRegions(place.value, ends)
  const slack = boundaryTolerance * width
  const short = shortRegion(points, regions, slack)
  if (short) return tooShort(short, kind, width)
  const taken = take(points, regions, slack)
  const bow = options.bow ?? false
  const { fit, kept, scatter } = fitCleanLevels(taken.levels, { bow })
  if (![fit.step, fit.slope].every(Number.isFinite))
    return refuse('notANumber', 'Heights or positions of this trace are too large to compute with.')
  const counts = countsOf(taken, kept)
  if (counts.some((count) => count < leastPoints))
    return refuse(
      'traceTooRough',
      'So many points stand apart from two parallel lines that none are left in one part. Choose other edges.',
    )

  const form = bow ? null : formOf(taken, kept)
  const noise = noiseOf(fit, taken, kept, bow ? 4 : 3)
  const others = otherRegions(place.value, ends).flatMap((other) => {
    if (shortRegion(points, other, slack)) return []
    const near = take(points, other, slack).levels
    return [fitLevels(near, { bow, weights: within(residualsFrom(fit, near), scatter) }).step]
  })
  const all = [fit.step, ...others].filter(Number.isFinite)
  const halfRange = (largest(all) - smallest(all)) / 2
  const variance = form?.clear ? form.variance : noise.variance
  const uncertainty = {
    residuals: Math.sqrt(variance * fit.varianceFactor),
    regions: others.length > 0 ? halfRange / Math.sqrt(3) : null,
    form: form === null ? 0 : Math.abs(form.step - fit.step),
  }
  const found: Omit<StepHeight, 'warnings'> = {
    kind: kind === 'edge' ? 'edge' : fit.step < 0 ? 'groove' : 'ridge',
    step: fit.step,
    standardUncertainty: Math.hypot(uncertainty.residuals, uncertainty.regions ?? 0, uncertainty.form),
    uncertainty,
    slope: fit.slope,
    bow: bow ? fit.bow : null,
    stepWithBow: form?.step ?? null,
    residualStandardDeviation: noise.residualStandardDeviation,
    width,
    edges,
    regions,
    level: { at: fit.at, height: fit.outside },
    points: { used: noise.n, leftOut: kept.length - noise.n, effective: noise.effective },
  }
  return good({ ...found, warnings: stepWarnings(found, form?.clear ?? false) })
}

type Taken = { levels: TwoLevels /** Of each point: 0 left, 1 middle, 2 right. */; part: Uint8Array }

function inside(region: Region, position: number, slack: number): boolean {
  return position >= region[0] - slack && position <= region[1] + slack
}

/** The points of the regions. The right of a single edge counts as the step, so that a rise is positive. */
function take(points: readonly TracePoint[], regions: StepRegions, slack: number): Taken {
  const parts = [regions.left, regions.middle, regions.right]
  const step = regions.middle ? 1 : 2
  const x: number[] = []
  const z: number[] = []
  const part: number[] = []
  for (const { position, height } of points) {
    const at = parts.findIndex((region) => region && inside(region, position, slack))
    if (at < 0) continue
    x.push(position)
    z.push(height)
    part.push(at)
  }
  return {
    levels: {
      x: Float64Array.from(x),
      z: Float64Array.from(z),
      inside: Uint8Array.from(part, (at) => (at === step ? 1 : 0)),
    },
    part: Uint8Array.from(part),
  }
}

type ShortRegion = { name: string; count: number }

function shortRegion(points: readonly TracePoint[], regions: StepRegions, slack: number): ShortRegion | null {
  for (const [name, region] of Object.entries(regions)) {
    if (!region) continue
    const count = points.filter(({ position }) => inside(region, position, slack)).length
    if (count < leastPoints) return { name, count }
  }
  return null
}

function tooShort({ name, count }: ShortRegion, kind: StepKind, width: number): Answer<never> {
  const advice =
    kind === 'edge'
      ? 'The trace should go on level on both sides of the edge.'
      : `The trace should reach one width of the step, ${plainNumber(width, 4)} µm, beyond each edge.`
  return refuse(
    'traceTooShort',
    `The ${name} part of the step holds ${count} points of the trace; it needs ${leastPoints} at least. ${advice}`,
  )
}

/** Points kept, by part that is in use. */
function countsOf({ part }: Taken, kept: Uint8Array): number[] {
  const counts = new Map<number, number>()
  part.forEach((at, i) => {
    counts.set(at, (counts.get(at) ?? 0) + (kept[i] as number))
  })
  return [...counts.values()]
}

function noiseOf(fit: Levels, { part }: Taken, kept: Uint8Array, parameters: number) {
  const runs = [0, 1, 2].map((at) => fit.residuals.filter((_, i) => part[i] === at && kept[i] === 1))
  const n = runs.reduce((sum, run) => sum + run.length, 0)
  const squares = runs.reduce((sum, run) => run.reduce((inner, residual) => inner + residual ** 2, sum), 0)
  const effective = Math.min(n, Math.max(parameters + 1, effectiveNumber(runs)))
  // Lines through n correlated points take as much out of the residuals as through so many independent ones.
  const variance = (squares / n) * (effective / (effective - parameters))
  return {
    n,
    effective,
    residualStandardDeviation: Math.sqrt(squares / (n - parameters)),
    /** Of one height, as if the points were independent. */
    variance: variance * (n / effective),
  }
}

/** A bow is clear where it changes the step by so many standard deviations of that change; chosen by us. */
const clearBow = 3

/** The step with a common parabola, whether there clearly is one, and the variance of one height about it. */
function formOf(taken: Taken, kept: Uint8Array) {
  const bowed = fitLevels(taken.levels, { bow: true, weights: kept })
  const { variance } = noiseOf(bowed, taken, kept, 4)
  const size = bowed.bow / Math.sqrt(bowed.bowVarianceFactor * variance)
  return { step: bowed.step, clear: Math.abs(size) > clearBow, variance }
}

/** Residuals of other points from the lines of a fit. */
function residualsFrom(fit: Levels, points: TwoLevels): Float64Array {
  return points.x.map((position, i) => {
    const along = position - fit.at
    const level = points.inside[i] === 1 ? fit.inside : fit.outside
    return (points.z[i] as number) - level - fit.slope * along - fit.bow * along ** 2
  })
}
