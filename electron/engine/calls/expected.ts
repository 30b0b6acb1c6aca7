import type { Run, Settings, Study } from '../../../shared/contract/things.ts'
import { thickness } from '../../../shared/film/reading-stage.ts'
import { type FittedModel, fitModel } from '../../../shared/model/fit.ts'
import { columnsOf, parseFormula } from '../../../shared/model/formula.ts'
import { predictedWithoutOwn } from '../../../shared/model/left-out.ts'
import { actualSettings } from '../../../shared/process/actual-settings.ts'
import type { StudyTable } from '../compute/study-data.ts'
import type { Store } from '../store/open.ts'
import { plateVisitsOf } from '../store/sessions.ts'
import { dataHash, includedRows, studyTable } from './study-table.ts'

/** What the fit expects of a run, nm, with its 95 % prediction interval. */
export type Expected = { nm: number; interval: [number, number] }

/** The same as fields of an answer. */
export const expectedFields = (expected: Expected | null) => ({
  expectedNm: expected?.nm ?? null,
  expectedIntervalNm: expected?.interval ?? null,
})

/**
 * What the study's model expects of any of its runs, fitted without that run, so that one with a slip does not speak
 * for itself; null where there is no model or it says nothing here. Settings count as they really were.
 */
export function expectedOf(store: Store, study: Study): (run: Run) => Expected | null {
  const nothing = () => null
  if (!study.model) return nothing
  const data = includedRows(studyTable(store, study))
  if (data.runs.length === 0) return nothing
  const fit = thicknessFit(data, study.model)
  if (!fit) return nothing
  const places = new Map(data.runs.map(({ id }, row) => [id, row]))
  const visits = new Map(plateVisitsOf(store.db, study.id).map((visit) => [visit.number, visit]))
  return (run) => {
    const own = fit.withoutOwn.get(places.get(run.id) ?? -1)
    if (own !== undefined) return own
    const visit = visits.get(run.plateVisit ?? 0) ?? null
    const { settings } = actualSettings({ ...study, ...run, visit })
    const [found] = fit.model.predict([{ ...groupsOf(run), ...settings }])
    return found ? { nm: found.estimate, interval: found.prediction } : null
  }
}

const groupsOf = (run: Run): Settings => ({
  ...(run.lot === null ? {} : { lot: run.lot }),
  ...(run.session === null ? {} : { session: run.session }),
  block: String(run.block),
  ...(run.plateVisit === null ? {} : { plateVisit: String(run.plateVisit) }),
})

/** A fit with what it expects of each of its own rows when that one is left out. */
type ThicknessFit = { model: FittedModel; withoutOwn: Map<number, Expected | null> }

/** The last fits, by formula and data, oldest first: a card and the table of sites ask for the same one. */
const fits = new Map<string, ThicknessFit | null>()
const mostFits = 4

/** The model of thickness, or null where it cannot be fitted to these runs. */
function thicknessFit(data: StudyTable, text: string): ThicknessFit | null {
  const formula = parseFormula(text)
  if (!formula.ok) return null
  const key = `${text} ${dataHash(data, [thickness, ...columnsOf(formula.value.terms)])}`
  const before = fits.get(key)
  if (before !== undefined) return before
  const answer = fitModel({ table: data.table, model: text })
  const fit = answer.ok && answer.value.responseName === thickness ? withOwn(answer.value) : null
  fits.set(key, fit)
  for (const oldest of fits.keys()) if (fits.size > mostFits) fits.delete(oldest)
  return fit
}

function withOwn(model: FittedModel): ThicknessFit {
  const own = predictedWithoutOwn(model.fitted).map(
    (found) => found && { nm: found.estimate, interval: found.prediction },
  )
  return { model, withoutOwn: new Map(model.rows.map((row, i) => [row, own[i] ?? null])) }
}
