import { type Answer, good, type Problem } from '../problem.ts'
import type { Ended } from './least-sum.ts'
import type { Bounds } from './levenberg-marquardt.ts'

/** Lower and upper end by parameter; null where an end is open. */
export type GivenBounds = Record<string, readonly [number | null, number | null]>

/**
 * The bounds in the order of the start values.
 *
 * @returns problems with code `unknownBound`, `badBound` or `startOutsideBounds`
 */
export function boundsOf(given: GivenBounds, start: Record<string, number>): Answer<Bounds> {
  const parameters = Object.keys(start)
  const problem = (code: string, column: string, message: string): Problem => ({ code, message, column })
  const ends = parameters.map((name) => {
    const [lower, upper] = Object.hasOwn(given, name) ? (given[name] ?? []) : []
    return [lower ?? Number.NEGATIVE_INFINITY, upper ?? Number.POSITIVE_INFINITY] as const
  })
  const problems = Object.keys(given)
    .filter((name) => !parameters.includes(name))
    .map((name) => problem('unknownBound', name, `‘${name}’ has bounds but no start value.`))
  parameters.forEach((name, j) => {
    const [lower, upper] = ends[j] as [number, number]
    const value = start[name] as number
    if (!(lower < upper))
      problems.push(problem('badBound', name, `${name}: the lower bound must lie below the upper one.`))
    else if (value < lower || value > upper)
      problems.push(problem('startOutsideBounds', name, `${name} starts at ${value}, outside its bounds.`))
  })
  if (problems.length > 0) return { ok: false, problems }
  return good({ lower: ends.map(([lower]) => lower), upper: ends.map(([, upper]) => upper) })
}

/** Names the parameters that ended on a bound. */
export function boundProblems(parameters: string[], { free, parameters: values }: Ended): Problem[] {
  return parameters.flatMap((name, j) => {
    if (free.includes(j)) return []
    const message =
      `${name} ended on its bound ${values[j]}: it has no standard error, ` +
      'and those of the other parameters take it as known.'
    return [{ code: 'atBound', message, column: name }]
  })
}
