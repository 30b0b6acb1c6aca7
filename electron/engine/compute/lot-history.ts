import type { LotHistory } from '../../../shared/contract/results/lot-history.ts'
import { compareGroups } from '../../../shared/model/lots.ts'
import { columnNamed, type Table } from '../../../shared/model/table.ts'
import { type Answer, good } from '../../../shared/problem.ts'
import type { EarlierStudy } from './earlier-spread.ts'
import { daysOf } from './study-data.ts'

/** A study with runs of several lots. */
export type LotStudy = {
  studyId: string
  name: string
  target: number | null
  table: Table
  model: string
  /** By lot: the day of its first run. */
  days: Record<string, string>
  /** Other studies on the same tools. */
  others: EarlierStudy[]
}

/** Each lot of a resist against the reference lot of its study; a study that tells nothing of its lots is passed over. */
export function historyOfLots({
  resist,
  studies,
}: {
  resist: string
  studies: LotStudy[]
}): Answer<LotHistory> {
  const lots = studies.flatMap(shiftsOfStudy).sort((a, b) => a.day.localeCompare(b.day))
  return good({ resist, lots })
}

function shiftsOfStudy({ studyId, name, target, table, model, days, others }: LotStudy): LotHistory['lots'] {
  const compared = compareGroups({
    table,
    model,
    by: 'lot',
    target,
    // Equivalence is not asked for here; whether it could be says whether days may count as lots.
    margin: 0.01,
    overDays: daysOf(model, others),
  })
  if (!compared.ok) return []
  const { reference, shifts } = compared.value
  const lots = columnNamed(table, 'lot')?.values ?? []
  return shifts.map(({ group, ratio, lower, upper, equivalent }) => ({
    studyId,
    study: name,
    day: days[group] ?? '',
    lot: group,
    reference: reference.group,
    runs: lots.filter((lot) => lot === group).length,
    ratio,
    lower,
    upper,
    daysHeldApart: equivalent !== null,
  }))
}
