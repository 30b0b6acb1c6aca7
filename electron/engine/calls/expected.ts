import type { Run, Study } from '../../../shared/contract/things.ts'
import { type FittedModel, fitModel } from '../../../shared/model/fit.ts'
import { columnsOf, parseFormula } from '../../../shared/model/formula.ts'
import type { StudyTable } from '../compute/study-data.ts'
import type { Store } from '../store/open.ts'
import { thickness } from './film.ts'
import { dataHash, includedRows, studyTable } from './study-table.ts'

/**
 * Thickness that the study's model expects of a run, fitted on the other runs, so that a run with a slip
 * does not speak for itself; null where there is no model or it says nothing here.
 */
export function expectedThickness(store: Store, study: Study, run: Run): Expected | null {
  if (!study.model) return null
  const others = includedRows(studyTable(store, study), (other) => other.id === run.id)
  if (others.runs.length === 0) return null
  const model = thicknessModel(others, study.model)
  const groups = {
    ...(run.lot === null ? {} : { lot: run.lot }),
    ...(run.session === null ? {} : { session: run.session }),
    block: String(run.block),
    ...(run.plateVisit === null ? {} : { plateVisit: String(run.plateVisit) }),
  }
  const predictions = model?.predict([{ ...groups, ...run.settings }]) ?? []
  // The widest: on another day where the fit knows days, else in the same session.
  const last = predictions.at(-1)
  return last ? { nm: last.estimate, interval: last.prediction } : null
}

/** What the fit expects of a run, nm, with its 95 % prediction interval. */
export type Expected = { nm: number; interval: [number, number] }

/** The last models fitted, by formula and data, oldest first: a card and the entry after it ask for the same one. */
const fitted = new Map<string, FittedModel | null>()
const mostFitted = 8

/** The model of thickness, or null where it cannot be fitted to these runs. */
function thicknessModel(data: StudyTable, text: string): FittedModel | null {
  const formula = parseFormula(text)
  if (!formula.ok) return null
  const key = `${text} ${dataHash(data, [thickness, ...columnsOf(formula.value.terms)])}`
  const before = fitted.get(key)
  if (before !== undefined) return before
  const answer = fitModel({ table: data.table, model: text })
  const model = answer.ok && answer.value.responseName === thickness ? answer.value : null
  fitted.set(key, model)
  for (const oldest of fitted.keys()) if (fitted.size > mostFitted) fitted.delete(oldest)
  return model
}
