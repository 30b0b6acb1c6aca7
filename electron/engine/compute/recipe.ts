import type { Settings } from '../../../shared/contract/things.ts'
import type { Result } from '../../../shared/contract.ts'
import { studySites } from '../../../shared/film/site-map.ts'
import { radiusOf } from '../../../shared/film/substrate.ts'
import { chanceMap } from '../../../shared/next/chance-map.ts'
import { type EvennessQuestion, evennessOf, predictedShape } from '../../../shared/next/evenness.ts'
import { type Predictor, predictorOf } from '../../../shared/next/predictor.ts'
import { findRecipe } from '../../../shared/next/recipe.ts'
import { fitShapes, type ShapeTerm } from '../../../shared/next/shape-models.ts'
import { type Answer, good, type Problem } from '../../../shared/problem.ts'
import type { BenchFigures } from '../../../shared/process/budget.ts'
import { type Tell, untold } from '../../../shared/progress.ts'
import { searchOf } from './next-run.ts'
import { fitRunsOverDays, type OverDaysInput, pointOf, rangeOf, type StudyData } from './study-data.ts'

export type RecipeInput = OverDaysInput & {
  bench: BenchFigures
  goal: { target: number; tolerance: number; asked: number }
}

/** The recipe for the target, by the fits of the thickness and of the shape terms. */
export function recipeOfRuns(
  { bench, goal, ...input }: RecipeInput,
  tell: Tell = untold,
): Answer<Result<'next.recipe'>> {
  const fitted = fitRunsOverDays(input)
  if (!fitted.ok) return fitted
  const { study, dataHash } = fitted.value
  const even = evennessQuestion(input.found, input.model)
  const answer = findRecipe({
    ...searchOf(fitted.value, bench),
    ...goal,
    tell,
    evenness: even === null || study.uniformityLimit === null ? null : evennessOf(even),
  })
  if (!answer.ok) return answer
  const { recipe } = answer.value
  const map =
    even === null
      ? []
      : predictedShape(even, recipe.settings).map(({ share, ...site }) => ({
          ...site,
          valueNm: share * recipe.estimate,
        }))
  const unsaid = even === null && study.uniformityLimit !== null ? [noShape] : []
  const problems = [...answer.value.problems, ...unsaid]
  return good({ ...answer.value, problems, map, dataHash })
}

/** The chance to be in tolerance over two factors, by the same fits. */
export function chanceMapOfRuns({
  x,
  y,
  at,
  goal,
  ...input
}: OverDaysInput & {
  x: string
  y: string
  at: Settings
  goal: { target: number; tolerance: number }
}): Answer<Result<'next.chanceMap'>> {
  const fitted = fitRunsOverDays(input)
  if (!fitted.ok) return fitted
  const predictor = predictorOf(fitted.value.model)
  if (!predictor.ok) return predictor
  const even = evennessQuestion(input.found, input.model)
  const axis = (factor: string) => ({ factor, ...rangeOf(fitted.value, factor) })
  const map = chanceMap(predictor.value, {
    ...goal,
    x: axis(x),
    y: axis(y),
    at: pointOf(fitted.value, at),
    evenness: even === null || fitted.value.study.uniformityLimit === null ? null : evennessOf(even),
  })
  if (!map.ok) return map
  const named = ({ factor, ...range }: ReturnType<typeof axis>) => ({
    name: factor,
    unit: fitted.value.model.unitOf(factor),
    ...range,
  })
  const { count, values } = map.value
  return good({ x: named(axis(x)), y: named(axis(y)), columns: count, rows: count, values })
}

const noShape: Problem = {
  code: 'noShape',
  message:
    'The readings do not tell the shape of the films (no positions, or fewer than three wafers): the chance is for ' +
    'the thickness alone, not for evenness.',
}

/** What is known of the shape of the study's films; null where that is nothing. */
export function evennessQuestion({ study, data }: StudyData, model: string): EvennessQuestion | null {
  const models = fitShapes({ table: data.table, model })
  if (!models.ok) return null
  const predictors: Partial<Record<ShapeTerm, Predictor>> = {}
  for (const [term, shape] of Object.entries(models.value)) {
    const predictor = predictorOf(shape)
    if (predictor.ok) predictors[term as ShapeTerm] = predictor.value
  }
  const rests = data.rest.filter((rest) => rest !== null)
  if (Object.keys(predictors).length === 0 || rests.length === 0) return null
  return {
    predictors,
    rest: Math.hypot(...rests) / Math.sqrt(rests.length),
    sites: studySites(study),
    radiusMm: radiusOf(study),
    formula: study.uniformityFormula,
    limit: study.uniformityLimit,
  }
}
