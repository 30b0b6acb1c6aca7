import Papa from 'papaparse'
import { neutralized } from '../../../shared/neutral-text.ts'

export type CsvCell = string | number | null

/**
 * A table as CSV that a spreadsheet opens: commas, decimal points, CRLF (RFC 4180), and a byte-order mark by
 * which spreadsheets know UTF-8. Numbers are written with as many digits as bring back the same number; a text
 * that would be run as a formula is neutralized; null is an empty cell.
 */
export function writeCsv(headers: readonly string[], rows: readonly (readonly CsvCell[])[]): string {
  const safe = [headers, ...rows].map((row) =>
    row.map((cell) => (typeof cell === 'string' ? neutralized(cell) : cell)),
  )
  return `\uFEFF${Papa.unparse(safe, { newline: '\r\n' })}\r\n`
}
