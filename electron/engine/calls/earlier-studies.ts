import type { Study } from '../../../shared/contract/things.ts'
import type { EarlierStudy } from '../compute/earlier-spread.ts'
import type { Store } from '../store/open.ts'
import { changedAt, studyOf } from '../store/studies.ts'
import { includedRows, studyTable } from './study-table.ts'
import { suggestionsFor } from './suggestions.ts'

/** More would hardly say more of the tools, and would have to be read for every fit. */
const most = 5

/**
 * Other studies of the same coater or hot plate, whose runs may tell how sessions and visits to the plate differ;
 * newest first. A practised or simulated study says nothing of real tools, nor the other way round.
 */
export function earlierStudies(store: Store, study: Study): EarlierStudy[] {
  if (study.coaterId === null && study.hotPlateId === null) return []
  const ids = store.db
    .prepare(
      `SELECT id FROM study WHERE id <> ? AND removed = 0 AND simulated = ?
        AND (coaterId = ? OR hotPlateId = ?) ORDER BY ${changedAt} DESC LIMIT ${most}`,
    )
    .pluck()
    .all(study.id, Number(study.simulated), study.coaterId, study.hotPlateId) as string[]
  return ids.flatMap((id) => {
    const other = studyOf(store.db, id)
    if (!other || (other.practice !== null) !== (study.practice !== null)) return []
    const data = includedRows(studyTable(store, other))
    const model = other.model?.startsWith('log(thickness)')
      ? other.model
      : suggestionsFor(other, data, 'thickness').at(-1)?.model
    if (model === undefined) return []
    return [
      {
        table: data.table,
        model,
        sameCoater: other.coaterId !== null && other.coaterId === study.coaterId,
        samePlate: other.hotPlateId !== null && other.hotPlateId === study.hotPlateId,
      },
    ]
  })
}
