import type { PredictionResult } from '../contract/results/fit.ts'
import { tQuantile, tUpper } from '../model/distributions.ts'
import { type ResponseScale, toModel } from '../model/response.ts'

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

/** The same for a run of a predictor's scope, from what it says at a setting. */
export function chanceToMissAt(
  { mean, variance, df }: { mean: number; variance: number; df: number },
  options: { low: number; high: number; noise: number },
): number {
  return chanceToMiss({ ...options, mean, standardDeviation: Math.sqrt(options.noise + variance), df })
}

/** The same from a prediction with its interval for one run at `level`, which tells how far a run scatters. */
export function chanceToMissBy(
  { estimate, prediction: [lower, upper], runDf }: PredictionResult,
  options: { low: number; high: number; scale: ResponseScale; level: number },
): number {
  const { scale, level } = options
  const mean = toModel(scale, estimate)
  // The end that lies farther on the model's scale: the other may have been cut off, as that of a root at zero.
  const reach = Math.max(Math.abs(toModel(scale, upper) - mean), Math.abs(toModel(scale, lower) - mean))
  const standardDeviation = reach / tQuantile((1 + level) / 2, runDf)
  return chanceToMiss({ ...options, mean, standardDeviation, df: runDf })
}
