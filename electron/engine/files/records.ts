import Papa from 'papaparse'
import type { Problem } from '../../../shared/problem.ts'

/** A row of a file as a spreadsheet counts it, from 1, with its cells up to the last that is not empty. */
export type FileRow = { row: number; cells: string[] }

export type Delimiter = ',' | ';' | '\t' | ' '

/** The rows of a file that are not empty, and which of them name the columns. */
export type Records = { delimiter: Delimiter; rows: FileRow[]; header: number; problems: Problem[] }

/** What looks like a number at first sight; whether it is one is judged later, by column. */
export const numberLike = /^[+\-\u2212]?(\d[\d.,]*|[.,]\d+)(e[+-]?\d+)?$/i

/** Delimiters in order of trust: decimal commas make a comma the least certain. */
const delimiters = ['\t', ';', ','] as const

/**
 * Splits a file into rows with the delimiter under which the rows below a header agree best in length. Lines
 * above the header (such as `Operator: …`) stay among the rows before `header`.
 */
export function recordsOf(text: string): Records | null {
  const candidates = [...delimiters.map((delimiter) => split(text, delimiter)), ...aligned(text)]
  let best: { records: Records; score: number } | null = null
  for (const records of candidates) {
    if (records.header < 0) continue
    const score = agreement(records)
    if (best === null || score > best.score + 1e-9) best = { records, score }
  }
  return best?.records ?? null
}

/**
 * How well the rows agree with the header, 0 to 1: the share that is neither above it nor a single cell, longer
 * rows counted half. Blanks are believed last, and a header whose cells hold another delimiter is hardly one.
 */
function agreement({ delimiter, rows, header }: Records): number {
  const head = rows[header]?.cells ?? []
  if (head.length < 2) return 0
  const trust = delimiter === ' ' ? 0.1 : head.some((cell) => /[;\t]/.test(cell)) ? 0.3 : 1
  let fitting = 0
  for (const { cells } of rows.slice(header)) {
    if (cells.length < 2) continue
    fitting += cells.length <= head.length ? 1 : 0.5
  }
  return (trust * fitting) / rows.length
}

function split(text: string, delimiter: Delimiter): Records {
  const parsed = Papa.parse<string[]>(unified(text), {
    delimiter,
    skipEmptyLines: false,
    dynamicTyping: false,
  })
  const problems = parsed.errors
    .filter((error) => error.type === 'Quotes')
    .map((error) => ({
      code: 'brokenQuotes',
      message: `Row ${(error.row ?? 0) + 1}: a quotation mark opens and never closes, or closes too early.`,
      row: (error.row ?? 0) + 1,
    }))
  return toRecords(delimiter, parsed.data, problems)
}

/** Line ends that are mixed within one file become one kind; otherwise the file is left as it is. */
function unified(text: string): string {
  const outside = text.replace(/"[^"]*"/g, '')
  return /\r\n/.test(outside) && /[^\r]\n/.test(outside) ? text.replace(/\r\n/g, '\n') : text
}

/** Columns held apart by blanks: by two or more where that makes columns, otherwise by any. */
function aligned(text: string): Records[] {
  const lines = text.split(/\r\n|\n|\r/)
  return [/ {2,}/, / +/].map((gap) =>
    toRecords(
      ' ',
      lines.map((line) => line.trim().split(gap)),
      [],
    ),
  )
}

function toRecords(delimiter: Delimiter, data: string[][], problems: Problem[]): Records {
  const rows = data
    .map((cells, i): FileRow => ({ row: i + 1, cells: cells.slice(0, lengthOf(cells)) }))
    .filter(({ cells }) => cells.length > 0)
  return { delimiter, rows, header: headerOf(rows), problems }
}

/** Cells up to the last that holds anything. */
function lengthOf(cells: readonly string[]): number {
  let length = cells.length
  while (length > 0 && (cells[length - 1] as string).trim() === '') length--
  return length
}

/**
 * The first row that is as long as most rows and starts with a word; −1 where there is none. Lines above a
 * table are shorter than its header.
 */
function headerOf(rows: readonly FileRow[]): number {
  const counts = new Map<number, number>()
  for (const { cells } of rows) counts.set(cells.length, (counts.get(cells.length) ?? 0) + 1)
  const usual = [...counts].reduce(
    (a, b) => (b[1] > a[1] || (b[1] === a[1] && b[0] > a[0]) ? b : a),
    [0, 0],
  )[0]
  return rows.findIndex(({ cells }) => cells.length >= usual && isHeader(cells))
}

function isHeader(cells: readonly string[]): boolean {
  const words = cells.filter((cell) => cell.trim() !== '' && !numberLike.test(cell.trim()))
  // Sites of a wide table may be named 1, 2, 3 …: one word at the front is enough.
  return words.length > 0 && !numberLike.test((cells[0] as string).trim())
}
