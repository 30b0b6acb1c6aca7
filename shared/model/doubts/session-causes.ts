import { type Random, seeded } from '../../random.ts'
import type { Explained } from './recorded-causes.ts'

/** Something recorded once a session, a number or a name, by place among the sessions; null where it was not recorded. */
export type RecordedOfSessions = { name: string; values: readonly (number | string | null)[] }

/** What goes with the difference between sessions. */
export type SessionCauses = {
  /** Shares of the sum of squares between sessions; the one that explains most beyond its terms first. */
  explained: Explained[]
  /** Chance that the best of all that were tried explains as much where nothing does. */
  p: number
  tried: number
}

const permutations = 1999
/** Fewer sessions can be put in too few orders for a chance below 1 in 20. */
export const fewestSessions = 4

/**
 * Which of the values recorded once a session explains best how sessions differ, by F of a regression of the sessions'
 * effects on it, a name having a term for each of its values but one. Of many that are tried one always explains
 * something, so p is that of the best of all, the effects being permuted among the sessions (seeded); it is exact where
 * sessions are alike in their runs. Numbers that are missing count as their mean, names as one of their own.
 * Null for less than four sessions, or where nothing that is recorded differs and leaves degrees of freedom.
 *
 * @param effects of the sessions beside all that the model explains, on its scale
 * @param order of the sessions in time
 */
export function sessionCauses(
  effects: readonly number[],
  recorded: readonly RecordedOfSessions[],
  order: readonly number[],
  random: Random = seeded(1),
): SessionCauses | null {
  const count = effects.length
  if (count < fewestSessions) return null
  const columns = recorded.flatMap(({ name, values }) => {
    const directions = directionsOf(values)
    const left = count - 1 - directions.length
    const missing = values.filter((value) => value === null).length
    return directions.length > 0 && left > 0 ? [{ name, directions, left, missing }] : []
  })
  const centred = aboutMean(effects)
  if (columns.length === 0 || dot(centred, centred) === 0) return null
  const fOf = ({ directions, left }: (typeof columns)[number], values: readonly number[]) => {
    const share = shareAlong(directions, values)
    return share / directions.length / (Math.max(1 - share, 1e-12) / left)
  }
  const bestOf = (values: readonly number[]) => Math.max(...columns.map((column) => fOf(column, values)))
  const best = bestOf(centred)
  let reached = 0
  for (let k = 0; k < permutations; k++) if (bestOf(random.shuffled(centred)) >= best * (1 - 1e-9)) reached++
  const inTime = aboutMean(order)
  return {
    explained: [...columns]
      .sort((a, b) => fOf(b, centred) - fOf(a, centred))
      .map(({ name, directions, missing }) => ({
        name,
        share: shareAlong(directions, centred),
        withRunOrder: correlation(directions, inTime),
        missing,
      })),
    p: (reached + 1) / (permutations + 1),
    tried: columns.length,
  }
}

/** Orthonormal directions, without the constant, that the values span over the sessions. */
function directionsOf(values: readonly (number | string | null)[]): number[][] {
  const isNamed = values.some((value) => typeof value === 'string')
  const known = values.flatMap((value) => (typeof value === 'number' ? [value] : []))
  const mean = known.reduce((sum, value) => sum + value, 0) / known.length
  const columns = isNamed
    ? [...new Set(values)].slice(1).map((level) => values.map((value) => Number(value === level)))
    : known.length > 0
      ? [values.map((value) => (typeof value === 'number' ? value : mean))]
      : []
  const directions: number[][] = []
  for (const column of columns) {
    let left = aboutMean(column)
    const size = dot(left, left)
    for (const direction of directions) {
      const along = dot(direction, left)
      left = left.map((value, i) => value - along * (direction[i] as number))
    }
    const length = Math.sqrt(dot(left, left))
    if (length > 1e-6 * Math.sqrt(size)) directions.push(left.map((value) => value / length))
  }
  return directions
}

function aboutMean(values: readonly number[]): number[] {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length
  return values.map((value) => value - mean)
}

const shareAlong = (directions: readonly number[][], values: readonly number[]) =>
  directions.reduce((sum, direction) => sum + dot(direction, values) ** 2, 0) / dot(values, values)

/** With its sign where there is one direction; the multiple correlation where there are several. */
function correlation(directions: readonly number[][], inTime: readonly number[]): number | null {
  if (dot(inTime, inTime) === 0) return null
  const multiple = Math.sqrt(shareAlong(directions, inTime))
  return directions.length === 1 ? Math.sign(dot(directions[0] as number[], inTime)) * multiple : multiple
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, value, i) => sum + value * (b[i] as number), 0)
}
