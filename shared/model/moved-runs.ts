import type { PredictionResult } from '../contract/results/fit.ts'
import type { Settings } from '../contract/things.ts'
import { type ResponseScale, toMeasured, toModel } from './response.ts'

/** A run with its settings and its response, in the kept unit. */
export type MovableRun = { values: Record<string, number | string | null>; response: number }

/** Where runs stand, and where they stand with all factors but one at a place. */
export function placesOf(
  runs: readonly MovableRun[],
  { factor, at }: { factor: string; at: Settings },
): { own: Settings[]; moved: Settings[] } {
  const own = runs.map(
    ({ values }) =>
      Object.fromEntries(Object.entries(values).filter(([, value]) => value !== null)) as Settings,
  )
  return { own, moved: own.map((settings) => ({ ...settings, ...at, [factor]: settings[factor] ?? 0 })) }
}

/**
 * The response that each run would have shown at its moved place, if the model is right: its fitted value there plus its
 * own residual, on the model's scale. Null for a run that the model cannot predict, at a level that no fitted run has say.
 *
 * @param predictions of all these places, in any order
 */
export function movedResponses(
  runs: readonly MovableRun[],
  { own, moved }: ReturnType<typeof placesOf>,
  predictions: readonly Pick<PredictionResult, 'at' | 'estimate'>[],
  scale: ResponseScale,
): (number | null)[] {
  const fitted = new Map(predictions.map((each) => [keyOf(each.at), each.estimate]))
  return runs.map((run, i) => {
    const before = fitted.get(keyOf(own[i] as Settings))
    const after = fitted.get(keyOf(moved[i] as Settings))
    if (before === undefined || after === undefined) return null
    const residual = toModel(scale, run.response) - toModel(scale, before)
    const value = toMeasured(scale, toModel(scale, after) + residual)
    return Number.isFinite(value) ? value : null
  })
}

const keyOf = (settings: Settings) => JSON.stringify(Object.entries(settings).sort())
