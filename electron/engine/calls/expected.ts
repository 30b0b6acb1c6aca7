import type { Run, Study } from '../../../shared/contract/things.ts'
import { fitModel } from '../../../shared/model/fit.ts'
import type { Store } from '../store/open.ts'
import { includedRows, studyTable } from './study-table.ts'

/**
 * Thickness in nm that the study's model expects of a run, fitted on the other runs, so that a run with a slip
 * does not speak for itself; null where there is no model or it says nothing here.
 */
export function expectedThickness(store: Store, study: Study, run: Run): number | null {
  if (!study.model) return null
  const others = includedRows(studyTable(store, study), (other) => other.id === run.id)
  if (others.runs.length === 0) return null
  const model = fitModel({ table: others.table, model: study.model })
  if (!model.ok || model.value.responseName !== 'thickness') return null
  const groups = {
    ...(run.lot === null ? {} : { lot: run.lot }),
    ...(run.session === null ? {} : { session: run.session }),
    block: String(run.block),
    ...(run.plateVisit === null ? {} : { plateVisit: String(run.plateVisit) }),
  }
  return model.value.predict([{ ...groups, ...run.settings }])[0]?.estimate ?? null
}
