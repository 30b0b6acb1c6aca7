import { decimalRest } from '../../../shared/decimal-rest.ts'
import { fileLimits } from '../../../shared/limits.ts'
import type { Table } from '../../../shared/model/table.ts'
import { asMeant } from '../../../shared/neutral-text.ts'
import type { DecimalSign } from '../../../shared/numbers.ts'
import { parseNumber } from '../../../shared/numbers.ts'
import { type Answer, good, type Problem, refuse } from '../../../shared/problem.ts'
import { textOfBytes } from '../../../shared/text-of-bytes.ts'
import { splitHeader } from '../../../shared/units.ts'
import { blockValues } from './block-values.ts'
import { isTextHeader } from './column-words.ts'
import { type ColumnSign, decimalSigns } from './decimal-sign.ts'
import { beyondColumns, beyondLines, tooLong } from './file-limits.ts'
import { type Delimiter, type FileRow, recordsOf, usualLength } from './records.ts'

export type CsvColumn = {
  /** As it stands in the file. */
  header: string
  /** What stands before the unit; the whole header where another column has that name too. */
  name: string
  unit: string | null
  decimal: DecimalSign
  /** What has to be asked before the column is taken for numbers, or null. */
  doubt: Problem | null
}

/** A table as it stands in a file. Every row has a cell for every column; an empty cell is ''. */
export type CsvTable = {
  delimiter: Delimiter
  /** The sign of most columns. */
  decimal: DecimalSign
  columns: CsvColumn[]
  rows: FileRow[]
  /** Whether a row names the columns; otherwise they are called `column 1` and so on. */
  hasHeader: boolean
  /** Lines that are not of the table: above the header, or the header again. */
  leftAside: Problem[]
}

/** `noHeader`: a person has said that no row names the columns. */
export type CsvOptions = { decimal?: DecimalSign | undefined; noHeader?: boolean | undefined }

/**
 * Reads a table with a header row. Delimiter (comma, semicolon, tab, blanks), decimal sign by column, byte-order
 * mark and encoding are recognized; units are split from the headers.
 *
 * @returns the table; or every problem of the file, by row and column
 */
export function readCsv(source: string | Uint8Array, options: CsvOptions = {}): Answer<CsvTable> {
  const { table, problems } = inspectCsv(source, options)
  const doubts = (table?.columns ?? []).flatMap(({ name, doubt }) =>
    doubt && !isTextHeader(name) ? [doubt] : [],
  )
  const all = [...problems, ...doubts]
  return table && all.length === 0 ? good(table) : { ok: false, problems: all }
}

/**
 * The same, with what can be shown of a file that has problems. Doubts about decimal signs are left to whoever
 * takes a column for numbers.
 */
export function inspectCsv(
  source: string | Uint8Array,
  options: CsvOptions = {},
): { table: CsvTable | null; problems: Problem[] } {
  const long = tooLong(source, fileLimits.table.characters)
  if (long) return { table: null, ...long }
  const text = (typeof source === 'string' ? source : textOfBytes(source)).replace(/^\uFEFF/, '')
  if (text.trim() === '') return { table: null, ...refuse('emptyFile', 'The file is empty.') }
  if (text.includes('\0')) return { table: null, ...refuse('notText', 'This is no text file.') }
  const lines = beyondLines(text)
  if (lines) return { table: null, problems: [lines] }
  const records = recordsOf(text)
  if (!records) return { table: null, ...refuse('emptyFile', 'The file is empty.') }
  const header = options.noHeader ? -1 : records.header
  const hasHeader = header >= 0
  const head = hasHeader
    ? (records.rows[header] as FileRow)
    : { row: 1, cells: Array.from({ length: usualLength(records.rows) }, () => '') }
  const columnsBeyond = beyondColumns(head, records.rows.length)
  if (columnsBeyond) return { table: null, problems: [columnsBeyond] }
  const headers = head.cells.map((cell, i) => asMeant(cell.trim()) || `column ${i + 1}`)
  const problems = [...records.problems, ...duplicates(headers, head.row)]
  if (!hasHeader && !options.noHeader) problems.push(noHeader(records.rows[0] as FileRow))
  const block = blockValues(records.rows, header, headers)
  const leftAside: Problem[] = records.rows
    .slice(0, Math.max(0, header))
    .filter(({ row }) => !block.rows.has(row))
    .map(({ row, cells }) => ({
      code: 'aboveTable',
      message: `Row ${row} stands above the table: ${cells.filter((cell) => cell.trim()).join(' ')}`,
      row,
    }))

  const rows: FileRow[] = []
  for (const { row, cells } of records.rows.slice(header + 1)) {
    if (block.rows.has(row)) continue
    if (hasHeader && sameCells(cells, head.cells)) {
      leftAside.push({ code: 'headerAgain', message: `Row ${row} is the header again.`, row })
      continue
    }
    if (cells.length > headers.length)
      problems.push({
        code: 'tooManyCells',
        message:
          `Row ${row} has ${cells.length} cells, the header ${headers.length}. ` +
          'Look whether a decimal comma split a number, or a text needs quotation marks.',
        row,
      })
    const own = headers.map((_, i) => asMeant(cells[i] ?? ''))
    rows.push({ row, cells: block.keys.length > 0 ? [...own, ...block.valuesAt(row)] : own })
  }
  headers.push(...block.keys)
  if (rows.length === 0) problems.push({ code: 'noRows', message: 'There is no row below the header.' })

  const split = headers.map(splitHeader)
  const signs = decimalSigns(
    headers.map((header, i) => ({
      header,
      cells: rows.map(({ row, cells }) => ({ row, text: cells[i] as string })),
      isText: isTextHeader(split[i]?.name ?? header),
    })),
    { delimiter: records.delimiter, decimal: options.decimal },
  )
  const columns = headers.map((header, i): CsvColumn => {
    const { name, unit } = split[i] as { name: string; unit: string | null }
    const shared = split.some((other, j) => j !== i && other.name === name)
    return { header, name: shared ? header : name, unit, ...(signs.columns[i] as ColumnSign) }
  })
  const { delimiter } = records
  return { table: { delimiter, decimal: signs.decimal, columns, rows, hasHeader, leftAside }, problems }
}

function noHeader({ row, cells }: FileRow): Problem {
  return {
    code: 'noHeader',
    message:
      `No row names the columns: row ${row} (${cells.slice(0, 4).join(' ')}) already holds numbers. ` +
      'Put a header row above them, or say that there is none and what each column means.',
    row,
  }
}

function duplicates(headers: readonly string[], row: number): Problem[] {
  const twice = new Set(headers.filter((header, i) => headers.indexOf(header) !== i))
  return [...twice].map((header) => ({
    code: 'duplicateColumn',
    message: `Two columns are called ‘${header}’. Give each a name of its own.`,
    row,
    column: header,
  }))
}

function sameCells(a: readonly string[], b: readonly string[]): boolean {
  return a.length === b.length && a.every((cell, i) => cell.trim() === (b[i] as string).trim())
}

/** What instruments and spreadsheets write where a reading failed. */
const failed =
  /^(nan|n\/?a|#n\/a|#value!|#num!|#div\/0!|null|none|not set|[-\u2013\u2014]+|ol|over|overload|fail(ed)?|err(or)?|[+-]?inf(inity)?)$/i

/** Whether a cell says that there is no reading: a word for a failed point. Empty cells are not meant. */
export const isFailedPoint = (cell: string): boolean => failed.test(cell.trim())

/**
 * The table as numbers and texts for the models. Empty cells and failed points are missing. A column in which
 * fewer than half of the cells are numbers is text throughout; a text among numbers stays a text, and whoever
 * computes with the column names it. Columns keep what their decimals hold beyond a double.
 *
 * @param texts names of columns that tell groups apart, whose numbers are names
 */
export function tableFromCsv(csv: CsvTable, texts: readonly string[] = []): Table {
  const columns = csv.columns.map(({ name, unit, decimal }, i) => {
    const cells = csv.rows.map(({ cells }) => (cells[i] as string).trim())
    const present = cells.filter((cell) => cell !== '' && !isFailedPoint(cell))
    const numbers = present.filter((cell) => parseNumber(cell, { decimal }).ok).length
    const isText = texts.includes(name) || numbers * 2 < present.length
    const values = cells.map((cell) => {
      if (cell === '') return null
      if (isText) return cell
      if (isFailedPoint(cell)) return null
      const number = parseNumber(cell, { decimal })
      return number.ok ? number.value : cell
    })
    const rests = values.map((value, row) =>
      typeof value === 'number' ? decimalRest(cells[row] as string, value) : 0,
    )
    const exact = rests.every((rest) => rest === 0)
    return { name, ...(unit ? { unit } : {}), values, ...(exact ? {} : { rests }) }
  })
  return { columns, rows: csv.rows.length }
}
