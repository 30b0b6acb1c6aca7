import { type Answer, good, refuse } from '../problem.ts'
import { parseEquation } from './arithmetic.ts'
import { boundsOf, type GivenBounds } from './equation-bounds.ts'
import { equationCurve } from './equation-curve.ts'
import { type FittedEquation, fittedEquation } from './equation-report.ts'
import { lowest, roundingOf, searchFailure, startProblems, startsAround } from './equation-search.ts'
import type { Table } from './table.ts'

/** What to fit, and from where. */
export type EquationOptions = {
  table: Table
  /** Such as `thickness = a*speed^(-b) + c`. */
  equation: string
  /** Start values of the parameters; the names that are no columns. */
  start: Record<string, number>
  /** Within what a parameter stays: lower and upper end, null where open. */
  bounds?: GivenBounds
  /** Name of a column of weights, 1/variance. */
  weights?: string
  /** Of intervals; 0.95 unless given. */
  level?: number
  /** Name of the column that tells sessions apart; `session` unless given. */
  session?: string
}

/**
 * Fits an equation by non-linear least squares, from the start values and from others around them. Standard errors,
 * leverages and intervals are those of the tangent plane at the solution, beside profile intervals of the parameters;
 * what is not defined for an equation is null or empty. A parameter that ends on a bound has no standard error, and
 * those of the others take it as known.
 *
 * @returns problems where the equation cannot be read, does not suit the table (`unknownName`), starts outside its
 * bounds, has no value at its start values, or where the search does not converge (`didNotConverge`)
 */
export function fitEquation(options: EquationOptions): Answer<FittedEquation> {
  const { table, start, level = 0.95 } = options
  const equation = parseEquation(options.equation)
  if (!equation.ok) return equation
  const endless = Object.keys(start).filter((name) => !Number.isFinite(start[name]))
  if (endless.length > 0)
    return refuse('badStart', `${endless.join(', ')}: a start value is a finite number.`, {
      column: endless[0] as string,
    })
  const answer = equationCurve({ table, equation: equation.value, start, weights: options.weights })
  if (!answer.ok) return answer
  const curve = answer.value
  const bounds = boundsOf(options.bounds ?? {}, start)
  if (!bounds.ok) return bounds
  const search = { bounds: bounds.value, exact: roundingOf(curve) }
  const starts = startsAround(Object.values(start), bounds.value)
  const { first, best, fromFirst } = lowest(curve, starts, search, curve.frame.rows.length)
  if (best === null) return { ok: false, problems: [searchFailure(first, curve.parameters)] }
  return good(
    fittedEquation({
      curve,
      ended: best,
      search,
      table,
      level,
      session: options.session,
      problems: startProblems({ first, fromFirst }),
    }),
  )
}
