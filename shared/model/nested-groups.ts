import { type Answer, good, refuse } from '../problem.ts'
import { expressionText } from './expression.ts'
import { parseFormula } from './formula.ts'
import { columnNamed, type Table } from './table.ts'

/** Groups within groups, outermost first, over the rows of a fit. */
export type GroupTree = {
  /** As printed: `lot`, then `lot/wafer`. */
  names: string[]
  /** Number of groups by level. */
  counts: number[]
  /** By level and group: the group of the level outside it (0 for the outermost). */
  parents: Int32Array[]
  /** The innermost group of each row. */
  groupOfRow: Int32Array
}

/** The group of the runs that name none. */
export const notNamed = 'not named'

/**
 * Reads nested random effects: columns with `/` between them, outermost first, such as `lot/wafer`.
 *
 * @returns the columns, or a problem with code `random`
 */
export function parseRandom(text: string): Answer<string[]> {
  const formula = parseFormula(text)
  const wrong = () =>
    refuse(
      'random',
      `‘${text}’ does not name groups: write columns from the outermost in, as in lot/wafer.`,
      {
        column: 'random',
      },
    )
  if (!formula.ok || formula.value.response !== null) return wrong()
  const [constant, ...terms] = formula.value.terms
  const innermost = terms.at(-1) ?? []
  const nested =
    constant?.length === 0 &&
    terms.length > 0 &&
    terms.every((term, k) => term.length === k + 1) &&
    innermost.every(
      (part, k) =>
        part.kind === 'column' &&
        terms.slice(k).every((term) => expressionText(term[k]!) === expressionText(part)),
    )
  if (!nested) return wrong()
  return good(innermost.flatMap((part) => (part.kind === 'column' ? [part.name] : [])))
}

/** Groups as printed, outermost first: `session`, then `session/plateVisit`; empty where the text names none. */
export function nestedNames(random: string): string[] {
  const columns = parseRandom(random)
  return columns.ok ? columns.value.map((_, k) => columns.value.slice(0, k + 1).join('/')) : []
}

/** The innermost of nested groups, as one says it: plate visit for session/plateVisit. */
export function groupWord(group: string): string {
  const inner = group.split('/').at(-1) ?? group
  return inner === 'plateVisit' ? 'plate visit' : inner
}

/** Between what a group's variance lies: `between plate visits` for session/plateVisit, `of the residuals` for the rest. */
export function betweenWords(group: string): string {
  return group === 'residual' ? 'of the residuals' : `between ${groupWord(group)}s`
}

/** The groups that the columns make of the rows. A name inside one group is not the same name inside another. */
export function groupTree(table: Table, columns: string[], rows: number[]): GroupTree {
  const counts: number[] = []
  const parents: Int32Array[] = []
  let groupOfRow = new Int32Array(rows.length)
  for (const name of columns) {
    const values = columnNamed(table, name)?.values ?? []
    const found = new Map<string, number>()
    const outside: number[] = []
    groupOfRow = groupOfRow.map((parent, i) => {
      const key = `${parent} ${values[rows[i]!]}`
      const known = found.get(key)
      if (known !== undefined) return known
      found.set(key, outside.length)
      outside.push(parent)
      return outside.length - 1
    })
    counts.push(outside.length)
    parents.push(Int32Array.from(outside))
  }
  return { names: columns.map((_, g) => columns.slice(0, g + 1).join('/')), counts, parents, groupOfRow }
}
