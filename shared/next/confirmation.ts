import type { SetErrors } from '../contract/results/next.ts'
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
