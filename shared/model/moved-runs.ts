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
 * The estimates at places, in their order; null where there is no prediction, as at a level that no fitted run has.
 *
 * @param predictions of these places in any order; of several of one place the last counts
 */
export function estimatesAt(
  places: readonly Settings[],
  predictions: readonly Pick<PredictionResult, 'at' | 'estimate'>[],
): (number | null)[] {
  const names = [...new Set(places.flatMap((place) => Object.keys(place)))]
  const keyOf = (settings: Settings) => names.map((name) => settings[name]).join('\n')
  const known = new Map(predictions.map((each) => [keyOf(each.at), each.estimate]))
  return places.map((place) => known.get(keyOf(place)) ?? null)
}

/**
 * The response that each run would have shown at its moved place, if the model is right: its fitted value there plus its
 * own residual, on the model's scale. Null for a run that the model cannot predict.
 *
 * @param estimates where the runs stand and where they are moved to, in their order
 */
export function movedResponses(
  runs: readonly Pick<MovableRun, 'response'>[],
  estimates: { own: readonly (number | null)[]; moved: readonly (number | null)[] },
  scale: ResponseScale,
): (number | null)[] {
  return runs.map((run, i) => {
    const [before, after] = [estimates.own[i] ?? null, estimates.moved[i] ?? null]
    if (before === null || after === null) return null
    const residual = toModel(scale, run.response) - toModel(scale, before)
    const value = toMeasured(scale, toModel(scale, after) + residual)
    return Number.isFinite(value) ? value : null
  })
}
