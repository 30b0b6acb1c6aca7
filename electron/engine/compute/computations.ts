import { makePlan, planWithoutWays } from '../../../shared/design/make-plan.ts'
import { replan } from '../../../shared/design/replan.ts'
import { watchRecipe } from '../../../shared/drift/watch-recipe.ts'
import { whereScatterComesFrom } from '../../../shared/film/scatter.ts'
import type { Answer } from '../../../shared/problem.ts'
import { backupOfDatabase } from './backup.ts'
import { batchOfRuns } from './batch.ts'
import { confirmationOfRecipe } from './confirmation.ts'
import { doubtsOfFit } from './doubts.ts'
import {
  comparisonOfModels,
  contourOfFit,
  curveOfFit,
  predictionsOfFit,
  reportOfFit,
  targetOfFit,
  transformationOfRuns,
} from './fits.ts'
import { importFile } from './import-file.ts'
import { filmOfRecipe } from './kept-recipe.ts'
import { lotCheckOfStudy } from './lot-check.ts'
import { historyOfLots } from './lot-history.ts'
import { comparisonOfLots } from './lots.ts'
import { nextRun } from './next-run.ts'
import { readThrough } from './read-through.ts'
import { chanceMapOfRuns, recipeOfRuns } from './recipe.ts'
import { rehearsal } from './rehearsal.ts'
import { documentOfReport, fitForTerms } from './report.ts'
import { readStudy, writtenStudy } from './study-file.ts'
import { evaluatedScans, lookAtTraces, scansOfFiles } from './traces.ts'

/**
 * What can take longer than a person notices, by name: plain data in, plain data out, nothing else touched; only
 * imports, backups, the file of a study and its damage look at the database, by a connection that reads.
 */
export const computations = {
  plan: makePlan,
  planWithoutWays,
  rehearsal,
  replan,
  fit: reportOfFit,
  scatter: whereScatterComesFrom,
  curve: curveOfFit,
  contour: contourOfFit,
  predictions: predictionsOfFit,
  targetSetting: targetOfFit,
  transformation: transformationOfRuns,
  modelComparison: comparisonOfModels,
  nextRun,
  recipe: recipeOfRuns,
  chanceMap: chanceMapOfRuns,
  batch: batchOfRuns,
  confirmation: confirmationOfRecipe,
  keptRecipe: filmOfRecipe,
  drift: watchRecipe,
  report: documentOfReport,
  reportTerms: fitForTerms,
  comparison: comparisonOfLots,
  doubts: doubtsOfFit,
  lotCheck: lotCheckOfStudy,
  lotHistory: historyOfLots,
  importFile,
  backup: backupOfDatabase,
  readThrough,
  writtenStudy,
  readStudy,
  lookAtTraces,
  scansOfFiles,
  evaluatedScans,
} as const

export type Computations = typeof computations
export type ComputationName = keyof Computations
export type InputOf<C extends ComputationName> = Parameters<Computations[C]>[0]
export type OutputOf<C extends ComputationName> =
  Awaited<ReturnType<Computations[C]>> extends Answer<infer T> ? T : never

/** A computation with what it takes. */
export type Question = { [C in ComputationName]: { computation: C; input: InputOf<C> } }[ComputationName]
