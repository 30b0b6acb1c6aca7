import type { Problem } from '../problem.ts'
import { seeded } from '../random.ts'
import type { EquationCurve, EquationPart } from './equation-curve.ts'
import { type Ended, leastSum } from './least-sum.ts'
import {
  type Bounds,
  clamped,
  levenbergMarquardt,
  type Place,
  type Reason,
  type Search,
} from './levenberg-marquardt.ts'

/** Other starts, each value times a factor between 1/30 and 30. */
const otherStarts = 12
const widest = Math.log(30)
/** A sum of squares must be lower by this share to count as another minimum. */
const clearlyLower = 1e-6

/** Most steps from the first start and from each other one; fewer on many rows, so that no search runs away. */
function stepLimits(rows: number): { first: number; other: number } {
  return {
    first: Math.min(5000, Math.max(500, Math.round(2e6 / rows))),
    other: Math.min(200, Math.max(50, Math.round(2e5 / rows))),
  }
}

type Found = Place & { reason: Reason }

/**
 * The lowest sum of squares that searches from several starts come to.
 *
 * @returns `first` from the first start, null where the model has no value there; `best` of those that converged, the
 * first one unless another is clearly lower
 */
export function lowest(
  { evaluate }: Pick<EquationPart, 'evaluate'>,
  starts: number[][],
  search: Search,
  rows: number,
): { first: Found | null; best: Ended | null; fromFirst: boolean } {
  const limits = stepLimits(rows)
  const ends = starts.map((start, i) =>
    levenbergMarquardt(evaluate, start, search, i === 0 ? limits.first : limits.other),
  )
  const [first = null] = ends
  const converged = ends.filter((found): found is Found => found?.reason === 'converged')
  const [least] = [...converged].sort((a, b) => a.sumOfSquares - b.sumOfSquares)
  if (!least) return { first, best: null, fromFirst: false }
  const rounding = 2 * Math.sqrt(search.exact * least.sumOfSquares) + search.exact
  const fromFirst =
    first?.reason === 'converged' && first.sumOfSquares <= least.sumOfSquares * (1 + clearlyLower) + rounding
  return { first, best: leastSum(evaluate, fromFirst ? first : least, search.bounds), fromFirst }
}

/** The start, and others around it within the bounds: always the same ones. */
export function startsAround(start: number[], bounds: Bounds): number[][] {
  const random = seeded(1)
  const others = Array.from({ length: otherStarts }, () =>
    start.map((value, j) => {
      const other = value === 0 ? random.normal() : value * Math.exp(widest * (2 * random.uniform() - 1))
      return clamped(other, j, bounds)
    }),
  )
  return [start, ...others]
}

/** A sum of squares that is only rounding of the response. */
export function roundingOf({ frame: { response, weights } }: EquationCurve): number {
  const sum = response.reduce((total, y, i) => total + (weights?.[i] ?? 1) * y * y, 0)
  return (4 * Number.EPSILON) ** 2 * sum
}

/** What a search that went from other starts too should say of where it ended. */
export function startProblems({ first, fromFirst }: { first: Found | null; fromFirst: boolean }): Problem[] {
  if (fromFirst) return []
  const message =
    first?.reason === 'converged'
      ? 'From other start values a lower sum of squares was found than from the given ones.'
      : 'The search converged only from other start values than the given ones.'
  return [{ code: 'betterStart', message }]
}

const reasons: Record<Reason, string> = {
  converged: '',
  stalled: 'no step lowers the sum of squares, though it is no minimum',
  singular: 'the runs leave at least one parameter open, or two do the same',
  stepLimit: 'too many steps were needed',
}

/** Why no search converged: a problem with code `outsideDomain` or `didNotConverge`. */
export function searchFailure(first: Found | null, parameters: string[]): Problem {
  if (first === null)
    return { code: 'outsideDomain', message: 'The equation has no value at the start values for every run.' }
  const reached = parameters.map((name, j) => `${name} = ${first.parameters[j]?.toPrecision(4)}`).join(', ')
  return {
    code: 'didNotConverge',
    message: `The search did not converge: ${reasons[first.reason]}. It ended at ${reached}. Try other start values.`,
  }
}
