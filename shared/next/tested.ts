import type { Settings } from '../contract/things.ts'
import { largest, smallest } from '../extremes.ts'
import type { Outlook, Predictor } from './predictor.ts'
import type { Axis } from './region.ts'

/** Rounding alone puts no setting outside what was tested. */
const slack = 1e-9

/**
 * Why a setting lies beyond what was tested, or null where it does not: beyond the smallest and largest tested
 * value of a factor that the model uses, at a level that was not tested, or, inside the ranges, outside the hull of
 * the tested settings with more leverage than any run of the fit (hidden extrapolation: Montgomery, Peck & Vining,
 * Introduction to Linear Regression Analysis, section 3.8, from memory).
 */
export function beyondTested(options: {
  axes: readonly Axis[]
  predictor: Predictor
  tested: readonly Settings[]
  settings: Settings
  outlook: Pick<Outlook, 'variance'>
}): string | null {
  const { axes, predictor, tested, settings, outlook } = options
  const used = axes.filter((axis) => predictor.columns.some((column) => column.name === axis.name))
  const reasons = used.flatMap(({ name }) => {
    const value = settings[name]
    const known = tested.map((other) => other[name]).filter((other) => other !== undefined)
    if (typeof value !== 'number')
      return known.some((other) => String(other) === value) ? [] : [`${name} ${value} was not tested`]
    const numbers = known.filter((other) => typeof other === 'number')
    const [low, high] = [smallest(numbers), largest(numbers)]
    const reach = slack * Math.max(Math.abs(low), Math.abs(high))
    if (value < low - reach) return [`${name} ${value} is below the lowest tested, ${low}`]
    if (value > high + reach) return [`${name} ${value} is above the highest tested, ${high}`]
    return []
  })
  if (reasons.length > 0) return reasons.join(', ')
  return outlook.variance > predictor.largestVariance * (1 + slack) && outsideHull(used, settings, tested)
    ? 'no tested settings lie around it'
    : null
}

/** Farther from the hull of the tested settings than this share of a factor's range is outside. */
const nearHull = 0.02
const mostSteps = 300

/**
 * Whether the numeric settings lie outside the convex hull of the tested ones, each factor scaled to its tested range.
 * The nearest point of the hull is approached by Gilbert's steps (SIAM J. Control 4, 1966, 61–80, from memory).
 */
function outsideHull(axes: readonly Axis[], settings: Settings, tested: readonly Settings[]): boolean {
  const scales = axes.flatMap(({ name }) => {
    const values = tested.map((each) => each[name]).filter((value) => typeof value === 'number')
    const [low, high] = [smallest(values), largest(values)]
    return typeof settings[name] === 'number' && high > low ? [{ name, width: high - low }] : []
  })
  const scaled = (each: Settings) => scales.map(({ name, width }) => Number(each[name]) / width)
  const wanted = scaled(settings)
  const corners = tested
    .map((each) => scaled(each).map((value, k) => value - (wanted[k] as number)))
    .filter((corner) => corner.every(Number.isFinite))
  const dot = (a: number[], b: number[]) => a.reduce((sum, value, k) => sum + value * (b[k] as number), 0)
  let nearest: number[] | undefined = corners[0]
  if (!nearest) return false
  for (let step = 0; step < mostSteps; step++) {
    const here: number[] = nearest
    const size = dot(here, here)
    if (size <= nearHull ** 2) return false
    const values = corners.map((corner) => dot(here, corner))
    const least = values.reduce((best, value, i) => (value < (values[best] as number) ? i : best), 0)
    // No tested setting lies beyond the plane through the nearest point: that is its distance.
    if ((values[least] as number) > nearHull * Math.sqrt(size)) return true
    const toward = (corners[least] as number[]).map((value, k) => value - (here[k] as number))
    const share = Math.min(1, Math.max(0, -dot(here, toward) / dot(toward, toward)))
    if (!(share > 0)) return true
    nearest = here.map((value, k) => value + share * (toward[k] as number))
  }
  return false
}

/** How far a setting is from the nearest tested one: the largest difference in any factor as a share of its range. */
export function distanceToTested(
  axes: readonly Axis[],
  settings: Settings,
  tested: readonly Settings[],
): number {
  let nearest = Number.POSITIVE_INFINITY
  for (const other of tested) {
    let distance = 0
    for (const { name, factor } of axes) {
      const [a, b] = [settings[name], other[name]]
      const width = (factor.high ?? 1) - (factor.low ?? 0)
      const numbers = typeof a === 'number' && typeof b === 'number'
      const apart = numbers ? (width > 0 ? Math.abs(a - b) / width : 0) : Number(String(a) !== String(b))
      distance = Math.max(distance, apart)
      if (distance >= nearest) break
    }
    nearest = Math.min(nearest, distance)
  }
  return nearest
}
