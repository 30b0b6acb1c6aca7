import { tUpper } from '../model/distributions.ts'

/**
 * Chance that a new run misses the tolerance, by the predictive t distribution. Both tails are computed as
 * such, so that chances close to 1 can still be told apart.
 *
 * @param options.low lower limit on the model's scale; −∞ where there is none
 * @param options.standardDeviation of a new run: its own scatter and the uncertainty of the mean
 */
export function chanceToMiss(options: {
  low: number
  high: number
  mean: number
  standardDeviation: number
  df: number
}): number {
  const { low, high, mean, standardDeviation: s, df } = options
  if (s === 0) return mean >= low && mean <= high ? 0 : 1
  return tUpper((high - mean) / s, df) + tUpper((mean - low) / s, df)
}
