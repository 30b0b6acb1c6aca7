import { plainName } from './column-words.ts'
import type { CsvTable } from './csv.ts'
import type { FileRow } from './records.ts'

const words = new Set([
  'mean',
  'average',
  'avg',
  'std',
  'stdev',
  'stddev',
  'standarddeviation',
  'sd',
  'sigma',
  '3sigma',
  'min',
  'minimum',
  'max',
  'maximum',
  'range',
  'median',
  'count',
  'uniformity',
  'nonuniformity',
  'nu',
])

/**
 * Rows that sum the others up, which files from gauges put below their readings: their first cell that holds
 * anything is such a word (`Mean`, `Std. dev.`, `Min:`).
 */
export function isSummaryRow({ cells }: FileRow): boolean {
  const first = cells.find((cell) => cell.trim() !== '')
  return first !== undefined && words.has(plainName(first))
}

/** A table without the rows that sum it up, which are named among what was left aside. */
export function withoutSummaries(table: CsvTable): CsvTable {
  const summaries = table.rows.filter(isSummaryRow)
  return {
    ...table,
    rows: table.rows.filter((row) => !isSummaryRow(row)),
    leftAside: [
      ...table.leftAside,
      ...summaries.map(({ row, cells }) => ({
        code: 'summaryRow',
        message: `Row ${row} (‘${cells.find((cell) => cell.trim())?.trim()}’) sums up the others.`,
        row,
      })),
    ],
  }
}
