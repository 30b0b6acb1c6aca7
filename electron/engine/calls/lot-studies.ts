import type { Study } from '../../../shared/contract/things.ts'
import type { LotStudy } from '../compute/lot-history.ts'
import type { Store } from '../store/open.ts'
import { sessionsOf } from '../store/sessions.ts'
import { studyOf } from '../store/studies.ts'
import { earlierStudies } from './earlier-studies.ts'
import { includedRows, studyTable } from './study-table.ts'
import { suggestionsFor } from './suggestions.ts'

/**
 * The studies of the same resist that are not archived and hold runs of several lots, this one among them. Invented films
 * stand by themselves, and so do practised ones.
 *
 * @param model of the study itself; that of {@link lotStudy} unless given
 */
export function lotStudies(
  store: Store,
  study: Study,
  model?: string,
): { resist: string; studies: LotStudy[] } {
  const ids = store.db
    .prepare(
      `SELECT id FROM study
       WHERE id = ? OR (removed = 0 AND archived = 0 AND simulated = ? AND trim(resist) <> ''
         AND lower(trim(resist)) = lower(trim(?)))`,
    )
    .pluck()
    .all(study.id, Number(study.simulated), study.resist) as string[]
  const read: Parameters<typeof earlierStudies>[2] = new Map()
  const studies = ids.flatMap((id) => {
    const one = studyOf(store.db, id)
    return one && (one.practice === null) === (study.practice === null)
      ? lotStudy(store, id === study.id && model !== undefined ? { ...one, model } : one, read)
      : []
  })
  return { resist: study.resist.trim(), studies }
}

/** By the model that a person chose, or the widest that is suggested. */
function lotStudy(store: Store, study: Study, read: Parameters<typeof earlierStudies>[2]): LotStudy[] {
  const data = includedRows(studyTable(store, study))
  const named = new Set(data.runs.flatMap(({ lot }) => lot ?? []))
  if (named.size < 2) return []
  const model = study.model?.startsWith('log(thickness)')
    ? study.model
    : suggestionsFor(study, data, 'thickness').at(-1)?.model
  if (model === undefined) return []
  const dayOf = new Map(sessionsOf(store.db, study.id).map(({ name, day }) => [name, day]))
  const days: Record<string, string> = {}
  for (const { lot, session, coatedAt } of data.runs) {
    if (lot === null) continue
    days[lot] ??= dayOf.get(session ?? '') || (coatedAt ?? study.createdAt).slice(0, 10)
  }
  return [
    {
      studyId: study.id,
      name: study.name,
      target: study.targetNm,
      table: data.table,
      model,
      days,
      others: earlierStudies(store, study, read),
    },
  ]
}
