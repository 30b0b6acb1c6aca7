import type { Problem } from '../../../shared/problem.ts'
import { isFailedPoint } from './csv.ts'
import { type Delimiter, numberLike } from './records.ts'

/** A line of a file that is not empty, as a spreadsheet counts it, with its cells. */
export type BlockRow = { row: number; cells: string[] }

/**
 * The rows of numbers in a file that an instrument wrote, with the lines above and below them. `strays` names every
 * line amid the numbers that is none of them.
 */
export type Block = {
  delimiter: Delimiter
  above: BlockRow[]
  rows: BlockRow[]
  below: BlockRow[]
  strays: Problem[]
}

/** In order of trust, as for tables. */
const delimiters: Record<Delimiter, RegExp> = { '\t': /\t/, ';': /;/, ',': /,/, ' ': /\s+/ }
/** So many rows of numbers in a row begin the block: a line of settings may look like one. */
const beginning = 3

/** The block of numbers under the delimiter that makes most rows of them; null where there is none. */
export function blockOf(text: string): Block | null {
  const lines = text.split(/\r\n|\n|\r/)
  let best: { delimiter: Delimiter; rows: BlockRow[]; count: number } | null = null
  for (const [delimiter, pattern] of Object.entries(delimiters) as [Delimiter, RegExp][]) {
    const rows = lines.flatMap((line, i): BlockRow[] =>
      line.trim() === '' ? [] : [{ row: i + 1, cells: cellsOf(line, pattern, delimiter) }],
    )
    const count = rows.filter(isData).length
    if (count > (best?.count ?? 0)) best = { delimiter, rows, count }
  }
  if (!best) return null
  const { delimiter, rows } = best
  const data = rows.map(isData)
  const start = startOf(rows, data)
  const end = data.lastIndexOf(true) + 1
  if (start < 0 || end - start < beginning) return null
  const within = rows.slice(start, end)
  return {
    delimiter,
    above: rows.slice(0, start),
    rows: within.filter(isData),
    below: rows.slice(end),
    strays: within
      .filter((row) => !isData(row))
      .map(({ row, cells }) => ({
        code: 'notANumber',
        message: `Row ${row} stands amid the numbers and is no pair of them: ‘${cells.join(' ')}’.`,
        row,
      })),
  }
}

/** The first row of the block. A row of numbers above it belongs to it, unless a line without any stands between. */
function startOf(rows: readonly BlockRow[], data: readonly boolean[]): number {
  let start = data.findIndex((_, i) => data.slice(i, i + beginning).every(Boolean))
  const hasNumber = (i: number) => rows[i]?.cells.some((cell) => numberLike.test(cell)) ?? false
  for (let i = start - 1; i >= 0 && hasNumber(i); i--) if (data[i]) start = i
  return start
}

function cellsOf(line: string, pattern: RegExp, delimiter: Delimiter): string[] {
  const cells = (delimiter === ' ' ? line.trim() : line).split(pattern)
  const plain = cells.map((cell) =>
    cell
      .trim()
      .replace(/^"(.*)"$/, '$1')
      .trim(),
  )
  return plain
}

/** Whether a row is numbers throughout: two cells at least, none of them a text, failed points let through. */
function isData({ cells }: BlockRow): boolean {
  return (
    cells.length >= 2 &&
    cells.some((cell) => numberLike.test(cell)) &&
    cells.every((cell) => cell === '' || numberLike.test(cell) || isFailedPoint(cell))
  )
}
