import { type ColumnMeaning, columnOfBlock } from './column-words.ts'
import { type FileRow, keyLine } from './records.ts'

/** What lines above a table, or between its parts, say of all rows below them. */
export type BlockValues = {
  /** Header of a column for each of them: the key with its colon. */
  keys: string[]
  /** Rows of the file that are such lines. */
  rows: ReadonlySet<number>
  /** The values in force at a row of the file. */
  valuesAt(row: number): string[]
}

/**
 * Reads lines such as `Wafer: W07` or `Lot;A` above a table, and again above each further part of it, as columns
 * whose value holds until the next such line. Only keys that say something of a run or of its readings are taken,
 * and only where no column of the table says it.
 *
 * @param header index of the header row; −1 where there is none, and then there is no block
 */
export function blockValues(
  rows: readonly FileRow[],
  header: number,
  headers: readonly string[],
): BlockValues {
  const taken = new Set(headers.map(columnOfBlock))
  const keys: string[] = []
  const meanings: ColumnMeaning['means'][] = []
  const lines: { row: number; place: number; value: string }[] = []
  const read = ({ row, cells }: FileRow, mayAdd: boolean) => {
    if (cells.length > 2 && !/:\s*$/.test(cells[0] ?? '')) return
    const line = keyLine(cells)
    const means = line && columnOfBlock(line.key)
    if (!line || !means || taken.has(means)) return
    let place = meanings.indexOf(means)
    if (place < 0) {
      if (!mayAdd) return
      place = meanings.push(means) - 1
      keys.push(`${line.key}:`)
    }
    lines.push({ row, place, value: line.value })
  }
  for (const row of rows.slice(0, Math.max(0, header))) read(row, true)
  if (keys.length > 0) for (const row of rows.slice(header + 1)) if (row.cells.length <= 2) read(row, false)

  const values = keys.map(() => '')
  let next = 0
  return {
    keys,
    rows: new Set(lines.map(({ row }) => row)),
    // Rows are asked for in order.
    valuesAt(row) {
      for (; (lines[next]?.row ?? Number.POSITIVE_INFINITY) < row; next++) {
        const { place, value } = lines[next] as (typeof lines)[number]
        values[place] = value
      }
      return [...values]
    },
  }
}
