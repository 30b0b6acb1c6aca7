import Papa from 'papaparse'
import { smallest } from '../../../shared/extremes.ts'
import type { Problem } from '../../../shared/problem.ts'
import { splitHeader } from '../../../shared/units.ts'
import { isKnownHeader, plainName } from './column-words.ts'

/** A row of a file as a spreadsheet counts it, from 1, with its cells up to the last that is not empty. */
export type FileRow = { row: number; cells: string[] }

export type Delimiter = ',' | ';' | '\t' | ' '

/** The rows of a file that are not empty, and which of them names the columns; −1 where none does. */
export type Records = { delimiter: Delimiter; rows: FileRow[]; header: number; problems: Problem[] }

/** What looks like a number at first sight; whether it is one is judged later, by column. */
export const numberLike = /^[+\-\u2212]?(\d[\d.,]*|[.,]\d+)(e[+-]?\d+)?$/i

/** Delimiters in order of trust: decimal commas make a comma the least certain. */
const delimiters = ['\t', ';', ','] as const

/** How much of a file is looked at for its delimiter, characters. */
const sampleLength = 50_000

type Splitter = (text: string) => Records

/**
 * Splits a file into rows with the delimiter under which the rows below a header agree best in length. Lines
 * above the header (such as `Operator: …`) stay among the rows before `header`.
 */
export function recordsOf(text: string): Records | null {
  // Of what follows after empty lines.
  const most = text.search(/\S/) + sampleLength
  const lineEnd = (sign: string) => text.lastIndexOf(sign, most)
  const end = text.length > most ? Math.max(lineEnd('\n'), lineEnd('\r')) : -1
  const sample = end < 0 ? text : text.slice(0, end)
  const splitters: Splitter[] = [
    ...delimiters.map((delimiter) => (part: string) => split(part, delimiter)),
    ...[/ {2,}/, / +/].map((gap) => (part: string) => aligned(part, gap)),
  ]
  let best: { records: Records; score: number; splitter: Splitter } | null = null
  for (const splitter of splitters) {
    const records = splitter(sample)
    if (records.rows.length === 0) continue
    const score = agreement(records)
    if (best === null || score > best.score + 1e-9) best = { records, score, splitter }
  }
  if (best === null) return null
  return sample === text ? best.records : best.splitter(text)
}

/**
 * How well the rows agree with the header, 0 to 1: the share that is neither above it nor a single cell, longer
 * rows counted half. Blanks are believed last, a header whose cells hold another delimiter is hardly one, and rows
 * without a header are believed after rows with one.
 */
function agreement({ delimiter, rows, header }: Records): number {
  const length = header < 0 ? usualLength(rows) : (rows[header]?.cells.length ?? 0)
  if (length < 2) return 0
  const below = rows.slice(Math.max(0, header + 1))
  // One column: a header such as `thickness (nm)` is not two for its blank.
  if (below.length > 0 && below.every(({ cells }) => cells.length < 2)) return 0
  const head = rows[header]?.cells ?? []
  const trust = delimiter === ' ' ? 0.1 : head.some((cell) => /[;\t]/.test(cell)) ? 0.3 : 1
  let fitting = 0
  for (const { cells } of rows.slice(Math.max(0, header))) {
    if (cells.length < 2) continue
    fitting += cells.length <= length ? 1 : 0.5
  }
  return ((header < 0 ? 0.5 : 1) * trust * fitting) / rows.length
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
  if (!text.includes('\r')) return text
  const outside = text.replace(/"[^"]*"/g, '')
  return /\r\n/.test(outside) && /[^\r]\n/.test(outside) ? text.replace(/\r\n/g, '\n') : text
}

/** Columns held apart by blanks: by two or more where that makes columns, otherwise by any. */
function aligned(text: string, gap: RegExp): Records {
  const lines = text.split(/\r\n|\n|\r/)
  return toRecords(
    ' ',
    lines.map((line) => line.trim().split(gap)),
    [],
  )
}

function toRecords(delimiter: Delimiter, data: string[][], problems: Problem[]): Records {
  const rows: FileRow[] = []
  data.forEach((cells, i) => {
    const length = lengthOf(cells)
    if (length > 0) rows.push({ row: i + 1, cells: length === cells.length ? cells : cells.slice(0, length) })
  })
  return { delimiter, rows, header: headerOf(rows), problems }
}

/** Cells up to the last that holds anything. */
function lengthOf(cells: readonly string[]): number {
  let length = cells.length
  while (length > 0 && (cells[length - 1] as string).trim() === '') length--
  return length
}

/** The length that most rows have. */
export function usualLength(rows: readonly FileRow[]): number {
  const counts = new Map<number, number>()
  for (const { cells } of rows) counts.set(cells.length, (counts.get(cells.length) ?? 0) + 1)
  let usual: [number, number] = [0, 0]
  for (const [length, count] of counts)
    if (count > usual[1] || (count === usual[1] && length > usual[0])) usual = [length, count]
  return usual[0]
}

/**
 * The first row that is as long as most rows, starts with a word and says nothing of a whole table; −1 where there
 * is none. Lines above a table are shorter than its header.
 */
function headerOf(rows: readonly FileRow[]): number {
  const usual = usualLength(rows)
  return rows.findIndex(
    ({ cells }, i) => cells.length >= usual && isHeader(cells) && !isKeyBefore(rows, i, cells),
  )
}

function isHeader(cells: readonly string[]): boolean {
  const words = cells.filter((cell) => cell.trim() !== '' && !numberLike.test(cell.trim()))
  // Sites of a wide table may be named 1, 2, 3 …: one word at the front is enough.
  return words.length > 0 && !numberLike.test((cells[0] as string).trim()) && countsSites(cells)
}

/** Numbers in a header are those of sites; other ones are readings, and the row names no columns. */
function countsSites(cells: readonly string[]): boolean {
  const numbers = cells.filter((cell) => numberLike.test(cell.trim())).map(Number)
  const first = smallest(numbers)
  const all = new Set(numbers)
  return numbers.length === 0 || ((first === 0 || first === 1) && numbers.every((_, i) => all.has(first + i)))
}

/** A line such as `Wafer: W07` or, in two cells, `Wafer;W07`: it speaks of the whole table. */
export function keyLine(cells: readonly string[]): { key: string; value: string } | null {
  const [first = '', ...rest] = cells
  const colon = first.indexOf(':')
  const [name, said] = [first.slice(0, Math.max(0, colon)).trim(), first.slice(colon + 1)]
  // Such as `12:30` names nothing.
  const isNamed = name !== '' && name.length <= 40 && said === said.replace(/^\S/, '')
  const key = isNamed ? name : cells.length === 2 ? first.trim() : ''
  const value = [...(isNamed ? [said] : []), ...rest].map((cell) => cell.trim()).filter(Boolean)
  return key === '' ? null : { key, value: value.join(' ') }
}

/** Whether a row of two cells is such a line: the header follows, made of known words. */
function isKeyBefore(rows: readonly FileRow[], at: number, cells: readonly string[]): boolean {
  if (/:\s*$/.test(cells[0] ?? '') || /^[^:]+:\s/.test(cells[0] ?? '')) return true
  if (cells.length !== 2 || isKnownHeader(plainName(splitHeader(cells[1] as string).name))) return false
  return rows
    .slice(at + 1, at + 20)
    .some(({ cells: later }) =>
      later.every((cell) => isKnownHeader(plainName(splitHeader(cell.trim()).name))),
    )
}
