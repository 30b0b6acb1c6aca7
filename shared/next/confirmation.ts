import type { SetErrors } from '../contract/results/next.ts'
import { chiSquareQuantile, normalQuantile } from '../model/distributions.ts'
import { simultaneousFactor } from './simultaneous.ts'

/** What a recipe is held to before its confirmation runs are made, on the model's scale. */
export type ConfirmationPlan = {
  runsByDay: number[]
  /** Every run of the set lies in here with the asked probability, if the fit is right. */
  lower: number
  upper: number
  factor: number
  level: number
}

/**
 * The interval that holds all of the confirmation runs at once, made on so many days.
 *
 * @param options.mean predicted, on the model's scale
 */
export function planConfirmation(options: {
  mean: number
  errors: SetErrors
  runsByDay: readonly number[]
  level?: number
}): ConfirmationPlan {
  const { mean, errors, runsByDay, level = 0.95 } = options
  const factor = simultaneousFactor({ runsByDay, errors, level })
  const reach = factor * Math.sqrt(errors.common + errors.day + errors.run)
  return { runsByDay: [...runsByDay], lower: mean - reach, upper: mean + reach, factor, level }
}

/**
 * How many standard deviations of a run to either side hold the asked share of all runs with the asked confidence
 * (W. G. Howe, J. American Statistical Association 64, 1969, 610–620): z·√(ν·(1 + 1/n)/χ²), the χ² with ν degrees of
 * freedom at 1 − confidence. Within a percent of the exact factors of ISO 16269-6 from n = 5 on.
 *
 * @param n of which the mean is one
 * @param df of the standard deviation
 */
export function toleranceFactor(n: number, df: number, share = 0.95, confidence = 0.95): number {
  const z = normalQuantile((1 + share) / 2)
  return z * Math.sqrt((df * (1 + 1 / n)) / chiSquareQuantile(1 - confidence, df))
}
