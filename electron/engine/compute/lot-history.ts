import type { LotHistory } from '../../../shared/contract/results/lot-history.ts'
import { columnsOf, parseFormula } from '../../../shared/model/formula.ts'
import { compareGroups } from '../../../shared/model/lots.ts'
import { sessionsSeparable } from '../../../shared/model/sessions-separable.ts'
import { columnNamed, type Table } from '../../../shared/model/table.ts'
import { type Answer, good } from '../../../shared/problem.ts'

/** A study with runs of several lots. */
export type LotStudy = {
  studyId: string
  name: string
  target: number | null
  table: Table
  model: string
  /** By lot: the day of its first run. */
  days: Record<string, string>
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

function shiftsOfStudy({ studyId, name, target, table, model, days }: LotStudy): LotHistory['lots'] {
  const [lot, session] = ['lot', 'session'].map((column) => columnNamed(table, column)?.values ?? [])
  const runs = Array.from({ length: table.rows }, (_, row) => ({ lot: lot?.[row], session: session?.[row] }))
  const formula = parseFormula(model)
  const held = formula.ok && columnsOf(formula.value.terms).includes('session')
  const compared = compareGroups({
    table,
    model: !held && sessionsSeparable(runs) ? `${model} + session` : model,
    by: 'lot',
    target,
    // Equivalence is not asked for here; whether it could be says whether days may count as lots.
    margin: 0.01,
  })
  if (!compared.ok) return []
  const { reference, shifts } = compared.value
  return shifts.map(({ group, ratio, lower, upper, equivalent }) => ({
    studyId,
    study: name,
    day: days[group] ?? '',
    lot: group,
    reference: reference.group,
    runs: runs.filter((run) => run.lot === group).length,
    ratio,
    lower,
    upper,
    daysHeldApart: equivalent !== null,
  }))
}
