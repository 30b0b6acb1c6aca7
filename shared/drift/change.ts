import { meanOf } from '../means.ts'
import { tQuantile, tTwoSided } from '../model/distributions.ts'

/** By how much the mean changed at an event, with its interval and the chance of as much by chance. */
export type Change = {
  before: number
  after: number
  change: number
  standardError: number
  df: number
  lower: number
  upper: number
  p: number
}

/**
 * The difference of means after and before an event, by the pooled standard deviation of both sides (Student's
 * two-sample t). Readings beyond a neighbouring event are not to be given: they belong to another state.
 *
 * @returns null where a side is empty or both together leave no degree of freedom
 */
export function changeAt(before: readonly number[], after: readonly number[], level = 0.95): Change | null {
  const df = before.length + after.length - 2
  if (before.length === 0 || after.length === 0 || df < 1) return null
  const [from, to] = [meanOf(before), meanOf(after)]
  const squares = (values: readonly number[], mean: number) =>
    values.reduce((sum, value) => sum + (value - mean) ** 2, 0)
  const variance = (squares(before, from) + squares(after, to)) / df
  const standardError = Math.sqrt(variance * (1 / before.length + 1 / after.length))
  const change = to - from
  const reach = tQuantile((1 + level) / 2, df) * standardError
  return {
    before: from,
    after: to,
    change,
    standardError,
    df,
    lower: change - reach,
    upper: change + reach,
    p: standardError === 0 ? Number(change === 0) : tTwoSided(change / standardError, df),
  }
}
