import type { Fit } from '../../../shared/contract/results/fit.ts'
import { type FitOptions, type FittedModel, fitModel } from '../../../shared/model/fit.ts'

/** The fitted model; a refusal fails the test with its reasons. */
export function fittedModel(options: FitOptions): FittedModel {
  const answer = fitModel(options)
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.message).join('\n'))
  return answer.value
}

/** The report of the fitted model. */
export function fitOf(options: FitOptions): Fit {
  return fittedModel(options).report()
}
