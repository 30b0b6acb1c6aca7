import type { Study } from '../../../shared/contract/things.ts'
import type { Table } from '../../../shared/model/table.ts'
import type { EarlierStudy } from '../compute/earlier-spread.ts'
import type { Store } from '../store/open.ts'
import { changedAt, studyOf } from '../store/studies.ts'
import { includedRows, studyTable } from './study-table.ts'
import { suggestionsFor } from './suggestions.ts'

/** More would hardly say more of the tools, and would have to be read for every fit. */
const most = 5

/** A study's runs with the model of their thickness; null where there is none. */
type Modelled = { study: Study; table: Table; model: string } | null

/**
 * Other studies of the same coater or hot plate, whose runs may tell how sessions and visits to the plate differ;
 * newest first. A practised or simulated study says nothing of real tools, nor the other way round.
 *
 * @param read what is read already, by study, where several studies are asked about
 */
export function earlierStudies(
  store: Store,
  study: Study,
  read = new Map<string, Modelled>(),
): EarlierStudy[] {
  if (study.coaterId === null && study.hotPlateId === null) return []
  const ids = store.db
    .prepare(
      `SELECT id FROM study WHERE id <> ? AND removed = 0 AND simulated = ?
        AND (coaterId = ? OR hotPlateId = ?) ORDER BY ${changedAt} DESC LIMIT ${most}`,
    )
    .pluck()
    .all(study.id, Number(study.simulated), study.coaterId, study.hotPlateId) as string[]
  return ids.flatMap((id) => {
    const found = read.get(id) ?? modelled(store, id)
    read.set(id, found)
    if (!found || (found.study.practice !== null) !== (study.practice !== null)) return []
    const { coaterId, hotPlateId } = found.study
    return [
      {
        table: found.table,
        model: found.model,
        sameCoater: coaterId !== null && coaterId === study.coaterId,
        samePlate: hotPlateId !== null && hotPlateId === study.hotPlateId,
      },
    ]
  })
}

function modelled(store: Store, id: string): Modelled {
  const study = studyOf(store.db, id)
  if (!study) return null
  const data = includedRows(studyTable(store, study))
  const model = study.model?.startsWith('log(thickness)')
    ? study.model
    : suggestionsFor(study, data, 'thickness').at(-1)?.model
  return model === undefined ? null : { study, table: data.table, model }
}
