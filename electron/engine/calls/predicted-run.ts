import type { Run, RunKind, Settings, Study } from '../../../shared/contract/things.ts'
import { type Answer, refuse } from '../../../shared/problem.ts'
import type { StudyData } from '../compute/study-data.ts'
import type { Store } from '../store/open.ts'
import { addPrediction, type Prediction } from '../store/predictions.ts'
import { addPlannedRun } from './plans.ts'
import { dataFor, dayColumns, type FitQuestion } from './study-fit.ts'

/** What a run is expected to give. */
export type Expected = Pick<
  Prediction,
  'settings' | 'scope' | 'estimate' | 'lower' | 'upper' | 'chance' | 'errors'
>

/** The study's data, if they are still those that something was recommended from. */
export function sameData(store: Store, question: FitQuestion, dataHash: string): Answer<StudyData> {
  const found = dataFor(store, question, dayColumns)
  if (found.ok && found.value.dataHash !== dataHash)
    return refuse(
      'dataChanged',
      'The data have changed since this was recommended. Ask for the next run again.',
    )
  return found
}

/** Adds a planned run to a stage and writes into the ledger what is expected of it. */
export function addPredictedRun(
  store: Store,
  { study, data, dataHash }: StudyData,
  { model, response }: FitQuestion,
  run: Pick<Run, 'stageId'> &
    Partial<Pick<Run, 'recipeId' | 'session' | 'block' | 'plateVisit'>> & {
      kind: RunKind
      expected: Expected
    },
): { id: string; code: string } {
  const { expected, ...place } = run
  const { settings, lot } = settingsOfRun(study, expected.settings)
  const added = addPlannedRun(store, { studyId: study.id, ...place, settings, lot, note: '' })
  addPrediction(store.db, {
    studyId: study.id,
    runId: added.id,
    model,
    response,
    dataHash,
    sessions: sessionsOf(data.runs, expected.settings),
    ...expected,
  })
  return added
}

/** The sessions for which a prediction holds: the one it was made for, else those of the runs that were fitted. */
function sessionsOf(runs: readonly Run[], settings: Settings): string[] {
  if (settings.session !== undefined) return [String(settings.session)]
  return [...new Set(runs.flatMap(({ session }) => (session === null ? [] : [session])))]
}

/** A choice as a run of the study: factors are its settings, the lot is its lot. */
export function settingsOfRun(study: Study, chosen: Settings): { settings: Settings; lot: string | null } {
  const names = new Set(study.factors.map(({ name }) => name))
  const lotName = study.factors.find(({ role }) => role === 'lot')?.name ?? 'lot'
  const settings = Object.fromEntries(Object.entries(chosen).filter(([name]) => names.has(name)))
  const lot = chosen[lotName]
  return { settings, lot: lot === undefined ? (study.lots[0] ?? null) : String(lot) }
}
