import type { KeptRecipe } from '../../../shared/contract/recipes.ts'
import type { Settings } from '../../../shared/contract/things.ts'
import { exponentAt } from '../../../shared/drift/exponent.ts'
import { predictorOf } from '../../../shared/next/predictor.ts'
import { type Answer, good } from '../../../shared/problem.ts'
import { fitRunsOverDays, type OverDaysInput, pointOf, rangeOf } from './study-data.ts'

/** What the fit says of a recipe's settings, and for which data. */
export type RecipeFilm = Pick<KeptRecipe, 'speeds' | 'exponent' | 'dataHash' | 'runs'> & {
  film: Omit<KeptRecipe['film'], 'chance'>
}

/** The film of a recipe, its table of thickness by speed and its exponent, by the fit over days. */
export function filmOfRecipe({
  settings,
  ...input
}: OverDaysInput & { settings: Settings }): Answer<RecipeFilm> {
  const fitted = fitRunsOverDays(input)
  if (!fitted.ok) return fitted
  const { model, study, dataHash } = fitted.value
  const predictor = predictorOf(model)
  if (!predictor.ok) return predictor
  const at = pointOf(fitted.value, settings)
  const [film] = model.predict([at], { widest: true })
  if (!film) return { ok: false, problems: model.cannotPredict([at]) }
  const name = study.factors.find(({ role }) => role === 'speed')?.name
  const speed = name === undefined ? undefined : at[name]
  const held = predictor.value.columns.some((column) => column.name === name)
  const speeds =
    name === undefined || typeof speed !== 'number' || !held
      ? []
      : model
          .predict(
            speedsOf(rangeOf(fitted.value, name), speed).map((each) => ({ ...at, [name]: each })),
            { widest: true },
          )
          .map((one) => ({
            speed: one.at[name] as number,
            estimate: one.estimate,
            prediction: one.prediction,
          }))
  return good({
    film: { estimate: film.estimate, prediction: film.prediction },
    speeds,
    exponent: name === undefined ? null : exponentAt(predictor.value, at, name),
    dataHash,
    runs: model.rows.length,
  })
}

/** Round speeds over the range, about ten, with its ends and the recipe's own. */
function speedsOf({ low, high }: { low: number; high: number }, own: number): number[] {
  const rough = (high - low) / 10
  const power = 10 ** Math.floor(Math.log10(Math.max(rough, 1e-9)))
  const step = power * ([1, 2, 2.5, 5].find((each) => each * power >= rough) ?? 10)
  const first = Math.ceil(low / step)
  const round = Array.from(
    { length: Math.max(0, Math.floor(high / step) - first + 1) },
    (_, i) => (first + i) * step,
  )
  return [...new Set([low, ...round, high, own])].sort((a, b) => a - b)
}
