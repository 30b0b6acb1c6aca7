import type { Result } from '../../../shared/contract.ts'
import { studySites } from '../../../shared/film/site-map.ts'
import { radiusOf } from '../../../shared/film/substrate.ts'
import { type EvennessQuestion, evennessOf, predictedShape } from '../../../shared/next/evenness.ts'
import { type Predictor, predictorOf } from '../../../shared/next/predictor.ts'
import { findRecipe } from '../../../shared/next/recipe.ts'
import { fitShapes, type ShapeTerm } from '../../../shared/next/shape-models.ts'
import { type Answer, good, type Problem } from '../../../shared/problem.ts'
import type { BenchFigures } from '../../../shared/process/budget.ts'
import { searchOf } from './next-run.ts'
import { fitRunsOverDays, type OverDaysInput, type StudyData } from './study-data.ts'

export type RecipeInput = OverDaysInput & {
  bench: BenchFigures
  goal: { target: number; tolerance: number; asked: number }
}

/** The recipe for the target, by the fits of the thickness and of the shape terms. */
export function recipeOfRuns({ bench, goal, ...input }: RecipeInput): Answer<Result<'next.recipe'>> {
  const fitted = fitRunsOverDays(input)
  if (!fitted.ok) return fitted
  const { study, dataHash } = fitted.value
  const even = evennessQuestion(input.found, input.model)
  const answer = findRecipe({
    ...searchOf(fitted.value, bench),
    ...goal,
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
