import type { Settings } from '../contract/things.ts'
import { type Answer, good, type Problem } from '../problem.ts'
import { columnOf, type Term } from './expression.ts'
import { keptOfTerm } from './fitted.ts'
import type { Formula } from './formula.ts'
import { type Frame, missingCell } from './frame.ts'
import type { LinearFit } from './linear-fit.ts'
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

/** Curves that differ by a shift, and curves of their own; by which fits the comparison is made. */
export type Nested = {
  parallel: LinearFit
  /** Null where the runs cannot carry it. */
  separate: LinearFit | null
  /** Curves that differ only in the terms that the runs of every group tell; null where those are all or none. */
  partly(): { fit: LinearFit; ofCurve: Term[]; common: Term[] } | null
  /** Terms of one group's curve, without the constant and what holds days apart. */
  ofCurve: Term[]
  /** Where the groups' own term stands in both formulas; what follows it are their own curves. */
  groupTerm: number
}

/**
 * Fits the nested models.
 *
 * @param blocks name of a column that holds days apart: it is no part of a curve, so that a day shifts all groups alike
 * @param fit of one formula; a fit without an error, as of as many terms as runs, is refused
 */
export function nestedFits(
  formula: Formula,
  { by, blocks }: { by: string; blocks: string },
  fit: (formula: Formula) => Answer<LinearFit>,
): Answer<Nested> {
  const group: Term = [{ kind: 'column', name: by }]
  const own = formula.terms.filter((term) => !term.some((part) => columnOf(part) === by))
  const parallelTerms = [...own, group]
  const ofCurve = own.filter((term) => term.length > 0 && !term.some((part) => columnOf(part) === blocks))
  const crossed = ofCurve.map((term): Term => [...term, ...group])
  const parallel = fit({ ...formula, terms: parallelTerms })
  if (!parallel.ok) return parallel
  const separate = fit({ ...formula, terms: [...parallelTerms, ...crossed] })
  return good({
    parallel: parallel.value,
    separate: separate.ok ? separate.value : null,
    partly: () => {
      if (!separate.ok) return null
      const { fitted } = separate.value
      const whole = ofCurve.map((_, k) => {
        const term = own.length + 1 + k
        return (
          keptOfTerm(fitted, term).length === fitted.columns.filter((column) => column.term === term).length
        )
      })
      const told = ofCurve.filter((_, k) => whole[k])
      if (told.length === 0 || told.length === ofCurve.length) return null
      const found = fit({ ...formula, terms: [...parallelTerms, ...crossed.filter((_, k) => whole[k])] })
      return found.ok
        ? { fit: found.value, ofCurve: told, common: ofCurve.filter((_, k) => !whole[k]) }
        : null
    },
    ofCurve,
    groupTerm: own.length,
  })
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
