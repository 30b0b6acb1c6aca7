import { type Random, seeded } from '../../random.ts'
import type { Fitted } from '../fitted.ts'
import { leftOver, type Orthonormal, orthonormal } from '../orthonormal.ts'
import type { RunOrder } from './run-order.ts'

/** Something recorded of each run of a fit, by place; null where it was not recorded. */
export type Recorded = { name: string; values: readonly (number | null)[] }

/** How much of what the model leaves over goes with something recorded. */
export type Explained = {
  name: string
  /** Of the residual sum of squares, beside the model and the sessions. */
  share: number
  /** Of the recorded values with run order, within sessions; null where the order does not vary. */
  withRunOrder: number | null
  missing: number
}

export type RecordedCauses = {
  /** The largest share first. */
  explained: Explained[]
  /** Chance that the best of all that were tried explains as much where nothing does. */
  p: number
  tried: number
}

const permutations = 1999
/** Squared length of what is left of a column, as a share of the column's, below which it is nothing. */
const nothing = 1e-9

/**
 * Which of the recorded values explains the scatter best, by the share of the residual sum of squares beside the model,
 * which has to hold sessions apart. Of many that are tried one always explains something, so p is that of the best of
 * all: residuals are permuted within sessions and fitted again (Freedman & Lane, Journal of Business & Economic
 * Statistics 1, 1983; from memory), at least 1,999 times, seeded. Values that are missing count as their session's mean.
 * Null where nothing that varies within sessions is recorded, or no degrees of freedom are left.
 */
export function recordedCauses(
  fitted: Fitted,
  recorded: readonly Recorded[],
  runs: RunOrder,
  random: Random = seeded(1),
): RecordedCauses | null {
  if (fitted.solution.df < 2 || !fitted.variance || fitted.frame.weights) return null
  const basis = orthonormal(fitted)
  const groups = placesBySession(runs.session)
  const within = (values: readonly (number | null)[]) => aboutSessionMeans(values, groups)
  const columns = recorded.flatMap(({ name, values }) => {
    const own = within(values)
    if (squares(own) === 0) return []
    const direction = unitLeftOver(basis, own)
    const missing = values.filter((value) => value === null).length
    return direction ? [{ name, own, direction, missing }] : []
  })
  if (columns.length === 0) return null
  const residuals = fitted.solution.residuals
  const sharesOf = (left: ArrayLike<number>, total: number) =>
    columns.map(({ direction }) => dot(direction, left) ** 2 / total)
  const shares = sharesOf(residuals, squares(residuals))
  const best = Math.max(...shares)
  let reached = 0
  for (let k = 0; k < permutations; k++) {
    const permuted = permutedWithin(residuals, groups, random)
    const left = leftOver(basis, permuted)
    if (Math.max(...sharesOf(left, squares(left))) >= best * (1 - 1e-12)) reached++
  }
  const order = within(runs.order)
  return {
    explained: columns
      .map(({ name, own, missing }, i) => ({
        name,
        share: shares[i] as number,
        withRunOrder: squares(order) > 0 ? dot(own, order) / Math.sqrt(squares(own) * squares(order)) : null,
        missing,
      }))
      .sort((a, b) => b.share - a.share),
    p: (reached + 1) / (permutations + 1),
    tried: columns.length,
  }
}

function unitLeftOver(basis: Orthonormal, own: Float64Array): Float64Array | null {
  const left = leftOver(basis, own)
  const size = squares(left)
  return size > nothing * squares(own) ? left.map((value) => value / Math.sqrt(size)) : null
}

function placesBySession(session: readonly string[]): number[][] {
  const places = new Map<string, number[]>()
  session.forEach((name, i) => {
    places.set(name, [...(places.get(name) ?? []), i])
  })
  return [...places.values()]
}

function aboutSessionMeans(values: readonly (number | null)[], groups: readonly number[][]): Float64Array {
  const result = new Float64Array(values.length)
  for (const group of groups) {
    const known = group.flatMap((i) => values[i] ?? [])
    // Equal values have no scatter, whatever their mean rounds to.
    if (new Set(known).size < 2) continue
    const mean = known.reduce((sum, value) => sum + value, 0) / known.length
    for (const i of group) result[i] = (values[i] ?? mean) - mean
  }
  return result
}

function permutedWithin(values: Float64Array, groups: readonly number[][], random: Random): Float64Array {
  const result = Float64Array.from(values)
  for (const group of groups) {
    const drawn = random.shuffled(group)
    group.forEach((place, i) => {
      result[place] = values[drawn[i] as number] as number
    })
  }
  return result
}

function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!
  return sum
}

const squares = (values: ArrayLike<number>) => dot(values, values)
