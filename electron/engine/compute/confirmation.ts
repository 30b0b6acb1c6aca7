import type { ConfirmationRecord } from '../../../shared/contract/results/confirmation.ts'
import type { Settings } from '../../../shared/contract/things.ts'
import { intervalToMeasured } from '../../../shared/model/response.ts'
import { inner } from '../../../shared/model/symmetric.ts'
import { chanceToMiss } from '../../../shared/next/chance.ts'
import { planConfirmation } from '../../../shared/next/confirmation.ts'
import { evennessOf } from '../../../shared/next/evenness.ts'
import {
  errorsOf,
  goalOnScale,
  type Outlook,
  type Predictor,
  predictorOf,
} from '../../../shared/next/predictor.ts'
import { type Answer, good, refuse } from '../../../shared/problem.ts'
import { evennessQuestion } from './recipe.ts'
import { fitRunsOverDays, type OverDaysInput } from './study-data.ts'

export type ConfirmationInput = OverDaysInput & {
  goal: { target: number; tolerance: number }
  settings: Settings
  runsByDay: number[]
}

/** What a recipe is to be held to, by the fit of the study's data: for each wafer, and for the whole set at once. */
export function confirmationOfRecipe({
  goal,
  settings,
  runsByDay,
  ...input
}: ConfirmationInput): Answer<ConfirmationRecord> {
  const fitted = fitRunsOverDays(input)
  if (!fitted.ok) return fitted
  const { study, model, dataHash } = fitted.value
  const predictor = predictorOf(model)
  if (!predictor.ok) return predictor
  const { scale, scope, noise } = predictor.value
  const onScale = goalOnScale(scale, goal.target, goal.tolerance)
  if (!onScale.ok) return onScale
  const outlook = predictor.value.at(settings)
  const prediction = model.predict([settings]).find((each) => each.scope === scope)
  if (outlook === null || prediction === undefined)
    return { ok: false, problems: model.cannotPredict([settings]) }
  const errors = errorsOf(predictor.value, outlook)
  const { level } = model
  const { lower, upper } = planConfirmation({ mean: outlook.mean, errors, runsByDay, level })
  const simultaneous = intervalToMeasured(scale, [lower, upper])
  if (simultaneous === null)
    return refuse('noInterval', `The interval for the set has no bound in ${model.responseName}.`)
  const standardDeviation = Math.sqrt(noise + outlook.variance)
  const thickness = 1 - chanceToMiss({ ...onScale.value, ...outlook, standardDeviation })
  const question = evennessQuestion(input.found, input.model)
  const evenness = question === null ? null : evennessOf(question).chance(settings)
  const { uniformityLimit, uniformityFormula } = study
  return good({
    settings,
    model: input.model,
    response: model.responseName,
    dataHash,
    scope,
    ...goal,
    uniformityLimit,
    uniformityFormula,
    chance: { thickness, evenness, both: thickness * (evenness ?? 1) },
    level,
    runsByDay,
    estimate: prediction.estimate,
    errors,
    single: prediction.prediction,
    simultaneous,
    speed: speedSlope(predictor.value, settings, study.factors.find(({ role }) => role === 'speed')?.name),
  })
}

/** The step of the difference, in the logarithm of the speed. */
const step = 0.01

/** How the model's response goes with the logarithm of the speed, by a difference on either side. */
function speedSlope(predictor: Predictor, settings: Settings, factor?: string): ConfirmationRecord['speed'] {
  const at = factor === undefined ? undefined : settings[factor]
  if (factor === undefined || typeof at !== 'number' || at <= 0) return null
  const [low, high] = [-step, step].map((move) =>
    predictor.at({ ...settings, [factor]: at * Math.exp(move) }),
  ) as [Outlook | null, Outlook | null]
  if (low === null || high === null) return null
  const apart = high.whitened.map((value, i) => value - (low.whitened[i] as number))
  return {
    factor,
    at,
    slope: (high.mean - low.mean) / (2 * step),
    standardError: Math.sqrt(inner(apart, apart)) / (2 * step),
  }
}
