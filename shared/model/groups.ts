import type { Settings } from '../contract/things.ts'
import type { Problem } from '../problem.ts'
import { columnOf, type Term } from './expression.ts'
import { type Fitted, fitFormula } from './fitted.ts'
import type { Formula } from './formula.ts'
import { type Frame, missingCell } from './frame.ts'
import { atRows, type Column, columnNamed, type Table } from './table.ts'

/**
 * The table's rows that belong to one of the groups, the grouping column as names.
 *
 * @returns the table, with `rowOf` giving each row's place in the original
 */
export function tableOfGroups(
  table: Table,
  by: string,
  groups?: string[],
): { table: Table; rowOf: number[]; problems: Problem[] } {
  const grouping = columnNamed(table, by) as Column
  const names = grouping.values.map((value) => (value === null ? null : String(value)))
  const problems: Problem[] = []
  const rowOf = names.flatMap((name, row) => {
    if (name === null) problems.push(missingCell(row, grouping))
    return name !== null && (!groups || groups.includes(name)) ? [row] : []
  })
  const columns = table.columns.map((column) =>
    column.name === by
      ? { ...atRows(column, rowOf), values: rowOf.map((row) => names[row] as string) }
      : atRows(column, rowOf),
  )
  return { table: { columns, rows: rowOf.length }, rowOf, problems }
}

/** One curve for all groups, curves that differ by a shift, curves of their own. */
export type Nested = { common: Fitted; parallel: Fitted; separate: Fitted | null }

/**
 * Fits the three nested models; the widest is null where the runs cannot carry it.
 *
 * @param blocks name of a column that holds days apart: it is no part of a curve, so that a day shifts all groups alike
 */
export function nestedFits(
  table: Table,
  formula: Formula,
  { by, blocks }: { by: string; blocks: string },
): Nested | Problem[] {
  const group: Term = [{ kind: 'column', name: by }]
  const own = formula.terms.filter((term) => !term.some((part) => columnOf(part) === by))
  const parallelTerms = [...own, group]
  const ofCurve = own.filter((term) => term.length > 0 && !term.some((part) => columnOf(part) === blocks))
  const crossed = ofCurve.map((term): Term => [...term, ...group])
  const fit = (terms: Term[]) => fitFormula({ table, formula: { ...formula, terms } })
  const common = fit(own)
  if (!common.ok) return common.problems
  const parallel = fit(parallelTerms)
  if (!parallel.ok) return parallel.problems
  const separate = fit([...parallelTerms, ...crossed])
  return {
    common: common.value,
    parallel: parallel.value,
    separate: separate.ok && separate.value.solution.df > 0 ? separate.value : null,
  }
}

/** Where the model is looked at: the median of each numeric column over the runs used, the commonest level. */
export function workingPoint(frame: Frame): Settings {
  return Object.fromEntries(
    frame.columns.map(({ name, values }) => {
      const used = frame.rows.map((row) => values[row] as number | string)
      return [name, name in frame.levels ? commonest(used.map(String)) : median(used as number[])]
    }),
  )
}

/** The median; the values stay as they are. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  const middle = sorted.length >> 1
  return sorted.length % 2 === 1
    ? (sorted[middle] as number)
    : ((sorted[middle - 1] as number) + (sorted[middle] as number)) / 2
}

function commonest(names: string[]): string {
  const counts = new Map<string, number>()
  for (const name of names) counts.set(name, (counts.get(name) ?? 0) + 1)
  return [...counts].reduce((most, next) => (next[1] > most[1] ? next : most))[0]
}
