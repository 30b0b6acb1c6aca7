import type { KeptRecipe } from '../../../shared/contract/recipes.ts'
import type { Settings, Study } from '../../../shared/contract/things.ts'
import { thickness } from '../../../shared/film/reading-stage.ts'
import { good, refuse } from '../../../shared/problem.ts'
import { surfaceOf } from '../../../shared/process/plate-offset.ts'
import { programOfRun } from '../../../shared/process/run-program.ts'
import type { RecipeFilm } from '../compute/kept-recipe.ts'
import { addRecipe, recipeOf, recipesOf } from '../store/recipes.ts'
import { runsOf } from '../store/runs.ts'
import { describeStep } from '../store/step.ts'
import { addStage } from '../store/studies.ts'
import { findStudy, type Handlers } from './handler.ts'
import { addPlannedRun, freeSession } from './plans.ts'
import { settingsOfRun } from './predicted-run.ts'
import { dataFor, dayColumns, overDaysInput } from './study-fit.ts'

type Names = 'recipes.list' | 'recipes.keep' | 'recipes.monitor'

export const recipes: Handlers<Names> = {
  'recipes.list': ({ studyId }, store) => {
    const found = findStudy(store, studyId)
    return found.ok ? good(recipesOf(store.db, studyId)) : found
  },

  'recipes.keep': {
    computation: 'keptRecipe',
    ask({ settings, target, tolerance, chance, dataHash, decision, supersedes, ...question }, store) {
      if (question.response !== thickness)
        return refuse('notThickness', 'A recipe is kept for a thickness: choose it as the response.', {
          column: 'response',
        })
      const input = overDaysInput(store, question)
      return input.ok ? good({ ...input.value, settings }) : input
    },
    finish(
      film,
      { settings, target, tolerance, chance, dataHash, decision, supersedes, ...question },
      store,
    ) {
      const { db } = store
      const found = dataFor(store, question, dayColumns)
      if (!found.ok) return found
      const { study } = found.value
      if (found.value.dataHash !== dataHash || film.dataHash !== dataHash)
        return refuse('dataChanged', 'The data have changed since this recipe was found. Look at it again.')
      const before = supersedes === undefined ? null : recipeOf(db, supersedes)
      if (supersedes !== undefined) {
        if (before?.studyId !== study.id) return noRecipe
        if (before.supersededBy !== null)
          return refuse('superseded', `Version ${before.version} of ‘${before.name}’ is superseded already.`)
      }
      const name = before?.name ?? decision.name
      if (!before && recipesOf(db, study.id).some((one) => one.name === name))
        return refuse(
          'nameTaken',
          `There is a recipe ‘${name}’ already: supersede it, or give another name.`,
          {
            column: 'name',
          },
        )
      const version = (before?.version ?? 0) + 1
      const recipeId = addRecipe(db, {
        ...recipeAsMade(study, settings, film),
        ...decision,
        name,
        version,
        supersedes: before?.id ?? null,
        targetNm: target,
        toleranceNm: tolerance,
        film: { ...film.film, chance },
        model: question.model,
      })
      describeStep(db, { label: `Kept recipe ${name}, version ${version}`, studyId: study.id })
      return good({ recipeId, version })
    },
  },

  'recipes.monitor': ({ recipeId, session }, store) => {
    const { db } = store
    const recipe = recipeOf(db, recipeId)
    if (!recipe) return noRecipe
    const found = findStudy(store, recipe.studyId)
    if (!found.ok) return found
    const named = session ?? freeSession(runsOf(db, recipe.studyId))
    const stageId =
      found.value.stages.find(({ kind }) => kind === 'monitor')?.id ??
      addStage(db, recipe.studyId, { kind: 'monitor', title: 'Monitor runs', design: null })
    const run = addPlannedRun(store, {
      studyId: recipe.studyId,
      stageId,
      kind: 'monitor',
      settings: recipe.settings,
      lot: recipe.lot,
      note: '',
      recipeId,
      session: named,
    })
    describeStep(db, { label: `Planned monitor run ${run.code} of ${recipe.name}`, studyId: recipe.studyId })
    return good({ runId: run.id, code: run.code, session: named })
  },
}

export const noRecipe = refuse('noSuchRecipe', 'There is no such recipe here (any more).')

type AsMade = Omit<
  KeptRecipe,
  | 'id'
  | 'version'
  | 'supersedes'
  | 'supersededBy'
  | 'decidedAt'
  | 'name'
  | 'decidedBy'
  | 'reason'
  | 'note'
  | 'targetNm'
  | 'toleranceNm'
  | 'film'
  | 'model'
>

/** What the recipe sets and on what, as the study stands, with what the fit says of it. */
export function recipeAsMade(study: Study, chosen: Settings, film: RecipeFilm): AsMade {
  const { settings, lot } = settingsOfRun(study, chosen)
  const { program, bakeTemperature, bakeTime } = programOfRun({ study, factors: study.factors, settings })
  return {
    studyId: study.id,
    resist: study.resist,
    lot,
    coater: study.coater?.name ?? '',
    hotPlate: study.hotPlate?.name ?? '',
    gauge: study.gauge?.name ?? '',
    settings,
    program,
    bakeDisplay: bakeTemperature,
    bakeSurface: study.hotPlate ? surfaceOf(study.hotPlate, bakeTemperature) : null,
    bakeTime,
    targetAfter: study.targetAfter,
    uniformityLimit: study.uniformityLimit,
    uniformityFormula: study.uniformityFormula,
    speeds: film.speeds,
    exponent: film.exponent,
    dataHash: film.dataHash,
    runs: film.runs,
  }
}
