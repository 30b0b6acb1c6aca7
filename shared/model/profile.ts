import type { Problem } from '../problem.ts'
import { tQuantile } from './distributions.ts'
import { dot, sumOfSquares as squaresOf } from './double-double.ts'
import type { EquationCurve, EquationPart } from './equation-curve.ts'
import { inverseHalf } from './least-squares.ts'
import { type Ended, leastSum } from './least-sum.ts'
import { clamped, levenbergMarquardt, placeAt, type Search } from './levenberg-marquardt.ts'

/** The lower and upper end; null where the profile does not close. */
export type Profile = [number | null, number | null]

type Asked = {
  curve: EquationCurve
  ended: Ended
  search: Search
  level: number
  /** Of the residuals; null without degrees of freedom. */
  variance: number | null
}

/**
 * Profile intervals of the parameters: those values at which the sum of squares, made least again in all other
 * parameters, has risen by t²·s² (Bates & Watts, Nonlinear Regression Analysis, 1988, section 6.1). For a linear
 * equation they are the intervals of the tangent plane. A parameter on a bound has none; an interval that reaches a
 * bound ends there.
 *
 * @returns intervals by parameter, undefined where there is none; problems with code `openProfile` or
 * `lowerOnProfile` that name the parameter
 */
export function profileIntervals(asked: Asked): { intervals: (Profile | undefined)[]; problems: Problem[] } {
  const { curve, ended, search, level, variance } = asked
  const intervals: (Profile | undefined)[] = curve.parameters.map(() => undefined)
  const problems: Problem[] = []
  if (variance === null || ended.sumOfSquares <= search.exact) return { intervals, problems }
  const rise = Math.sqrt(variance) * tQuantile((1 + level) / 2, ended.tangent.df)
  for (const part of curve.parts) {
    const minimum = minimumOf(part, asked)
    if (minimum === null) continue
    part.which.forEach((j, k) => {
      if (!ended.free.includes(j)) return
      const sides = [-1, 1].map((side) => sideOf(minimum, k, side, rise))
      const ends = sides.map((end) => (typeof end === 'number' ? end : null))
      intervals[j] = ends as Profile
      const column = curve.parameters[j] as string
      if (sides.includes('lower'))
        problems.push({
          code: 'lowerOnProfile',
          message: `With ${column} held nearby the sum of squares fell below the least one found: try other start values.`,
          column,
        })
      else if (ends.includes(null))
        problems.push({
          code: 'openProfile',
          message: `The profile of ${column} does not close ${openSide(ends)}: the runs do not bound it there.`,
          column,
        })
    })
  }
  return { intervals, problems }
}

function openSide([lower, upper]: (number | null)[]): string {
  if (lower === null && upper === null) return 'on either side'
  return lower === null ? 'below' : 'above'
}

/** A part of the curve at its least sum of squares. */
type Minimum = Search & { evaluate: EquationPart['evaluate']; ended: Ended }

function minimumOf({ which, evaluate }: EquationPart, { ended, search }: Asked): Minimum | null {
  if (which.length === ended.parameters.length) return { evaluate, ended, ...search }
  const own = (values: number[]) => which.map((j) => values[j] as number)
  const bounds = { lower: own(search.bounds.lower), upper: own(search.bounds.upper) }
  const parameters = own(ended.parameters)
  const evaluation = evaluate(parameters)
  if (evaluation === null) return null
  const place = { ...placeAt(parameters, evaluation, bounds), reason: ended.reason }
  return { evaluate, ended: leastSum(evaluate, place, bounds), bounds, exact: search.exact }
}

/** Doublings of the distance before a profile counts as open. */
const doublings = 16
const trials = 60
/** Of the search at each held value. */
const mostSteps = 100

/**
 * Where the profile of parameter j has risen by `rise` (in units of the response) on one side.
 *
 * @returns null where it does not; 'lower' where the sum of squares fell below the least
 */
function sideOf(minimum: Minimum, j: number, side: number, rise: number): number | null | 'lower' {
  const { ended, bounds } = minimum
  const along = directionOf(ended, j)
  const origin = ended.parameters[j] as number
  const edge = (side < 0 ? bounds.lower[j] : bounds.upper[j]) as number
  type At = { distance: number; rise: number; parameters: number[] }
  const startAt: At = { distance: 0, rise: 0, parameters: ended.parameters }
  /** The least rise with j held at a distance, from the nearest point known; null where there is none. */
  const at = (distance: number, near: At): At | null | 'lower' => {
    const held = origin + side * distance
    const fixed = (ends: number[]) => ends.map((end, k) => (k === j ? held : end))
    const within = { lower: fixed(bounds.lower), upper: fixed(bounds.upper) }
    const start = near.parameters.map((value, k) => {
      const moved = k === j ? held : value + side * (distance - near.distance) * (along[k] as number)
      return clamped(moved, k, within)
    })
    const plain = near.parameters.map((value, k) => (k === j ? held : value))
    const search = { bounds: within, exact: minimum.exact }
    const found =
      levenbergMarquardt(minimum.evaluate, start, search, mostSteps) ??
      levenbergMarquardt(minimum.evaluate, plain, search, mostSteps)
    if (!found || found.reason === 'stepLimit') return null
    const excess = found.sumOfSquares - ended.sumOfSquares
    if (excess < -1e-7 * ended.sumOfSquares) return 'lower'
    return { distance, rise: Math.sqrt(Math.max(0, excess)), parameters: found.parameters }
  }
  let inner = startAt
  let outer: At | null = null
  let reach = rise * standardErrorShare(ended, j)
  for (let k = 0; outer === null; k++) {
    const toEdge = side * (edge - origin)
    const last = reach >= toEdge
    const next = at(last ? toEdge : reach, inner)
    if (next === 'lower') return 'lower'
    if (next === null) {
      if (k >= doublings) return null
      reach = (inner.distance + reach) / 2
      continue
    }
    if (next.rise >= rise) outer = next
    else if (last) return edge
    else if (k >= doublings) return null
    else {
      inner = next
      reach *= 2
    }
  }
  return origin + side * closed(inner, outer, rise, at)
}

/** The distance of the rise between two points, by regula falsi with halved weights (Illinois). */
function closed<At extends { distance: number; rise: number }>(
  innerStart: At,
  outerStart: At,
  rise: number,
  at: (distance: number, near: At) => At | null | 'lower',
): number {
  let [inner, outer] = [innerStart, outerStart]
  let [low, high] = [inner.rise - rise, outer.rise - rise]
  for (let k = 0; k < trials; k++) {
    const distance =
      high === 0 ? outer.distance : inner.distance - (low * (outer.distance - inner.distance)) / (high - low)
    const next = at(distance, distance - inner.distance < outer.distance - distance ? inner : outer)
    if (next === null || next === 'lower') return distance
    const off = next.rise - rise
    if (Math.abs(off) <= 1e-10 * rise || outer.distance - inner.distance <= 1e-13 * outer.distance)
      return distance
    if (off > 0) {
      ;[outer, high] = [next, off]
      low /= 2
    } else {
      ;[inner, low] = [next, off]
      high /= 2
    }
  }
  return outer.distance
}

/** Standard error of parameter j over the residual standard deviation. */
function standardErrorShare({ tangent, free }: Ended, j: number): number {
  const half = inverseHalf(tangent)[free.indexOf(j)]
  return half ? Math.sqrt(squaresOf(half).hi) : 0
}

/** How the others move with parameter j on the tangent plane, where they are made least again. */
function directionOf({ tangent, free, parameters }: Ended, j: number): number[] {
  const half = inverseHalf(tangent)
  const own = half[free.indexOf(j)]
  return parameters.map((_, k) => {
    const other = half[free.indexOf(k)]
    return own && other ? dot(own, other, 0, tangent.rank).hi / squaresOf(own).hi : 0
  })
}
