import { readFileSync } from 'node:fs'
import { basename, extname } from 'node:path'
import type { Fit } from '../../shared/contract/results.ts'
import { spreadsheetRow } from '../../shared/model/frame.ts'
import type { Column, Table } from '../../shared/model/table.ts'
import type { DecimalSign } from '../../shared/numbers.ts'
import { type Answer, good, type Problem, refuse } from '../../shared/problem.ts'
import { type CsvTable, readCsv, tableFromCsv } from '../engine/files/csv.ts'
import { type Given, taker } from './options.ts'
import { inWords } from './verb.ts'

/** A CSV file as a table for the models, which count its rows from the first below the header. */
export type FileTable = {
  /** Of the file, without folder and ending. */
  name: string
  table: Table
  /** By row of the table: the row of the file as a spreadsheet shows it, the header being row 1. */
  rows: number[]
  /** What was left aside in reading. */
  notes: string[]
  /** The column of that name, or of that whole header. */
  column(named: string): Answer<Column>
  /** A problem of a model, at the row of the file: lines above the header or blank ones shift them. */
  problemAtItsRow(problem: Problem): Problem
  atItsRow(refusal: { ok: false; problems: Problem[] }): { ok: false; problems: Problem[] }
  reportAtItsRows(report: Fit): Fit
}

/** Reads a file that a person has named. */
export function readFile(path: string): Answer<Uint8Array> {
  try {
    return good(readFileSync(path))
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code
    if (code === undefined) throw error
    const why =
      code === 'ENOENT'
        ? 'there is no such file'
        : code === 'EISDIR'
          ? 'that is a folder'
          : (error as Error).message
    return refuse('cannotRead', `${path} cannot be read: ${why}.`)
  }
}

/** Reads the table of the first operand; `prepare` takes out what is no row of it. */
export function readTable(
  given: Given,
  prepare: (csv: CsvTable) => CsvTable = (csv) => csv,
): Answer<FileTable> {
  const { problems, word } = taker(given)
  const decimal = given.has('decimal') ? word<DecimalSign>('decimal', ['comma', 'point'], 'point') : undefined
  if (problems.length > 0) return { ok: false, problems }
  return tableOf(given.operands[0] ?? '', decimal, prepare)
}

/** Reads the table of a file; the decimal sign is recognized unless it is given. */
export function tableOf(
  path: string,
  decimal: DecimalSign | undefined,
  prepare: (csv: CsvTable) => CsvTable = (csv) => csv,
): Answer<FileTable> {
  const bytes = readFile(path)
  if (!bytes.ok) return bytes
  const read = readCsv(bytes.value, { decimal })
  if (!read.ok) return read
  const csv = prepare(read.value)
  const table = tableFromCsv(csv)
  const rows = csv.rows.map(({ row }) => row)
  const fileRow = (row: number) => rows[row - spreadsheetRow(0)] ?? row
  const problemAtItsRow = (problem: Problem): Problem => {
    if (problem.row === undefined) return problem
    const row = fileRow(problem.row)
    return { ...problem, row, message: problem.message.replace(/^Row \d+/, `Row ${row}`) }
  }
  return good({
    name: basename(path, extname(path)),
    table,
    rows,
    notes: csv.leftAside.map(inWords),
    column(named) {
      const place = csv.columns.findIndex(({ name, header }) => name === named || header === named)
      const column = table.columns[place]
      if (column !== undefined) return good(column)
      const known = table.columns.map(({ name }) => name).join(', ')
      return refuse('unknownColumn', `There is no column ‘${named}’. There are ${known}.`, {
        column: named,
      })
    },
    problemAtItsRow,
    atItsRow: (refusal) => ({ ok: false, problems: refusal.problems.map(problemAtItsRow) }),
    reportAtItsRows: (report) => ({
      ...report,
      runs: report.runs.map((run) => ({ ...run, row: fileRow(run.row) })),
      problems: report.problems.map(problemAtItsRow),
    }),
  })
}

/** Columns as numbers; a text among them is a problem at its row, an empty cell is null. */
export function numbersOf(file: FileTable, columns: Column[]): Answer<(number | null)[][]> {
  const problems: Problem[] = []
  const numbers = columns.map((column) =>
    column.values.map((value, i) => {
      if (typeof value !== 'string') return value
      const row = file.rows[i] ?? i
      problems.push({
        code: 'notANumber',
        message: `Row ${row}, ${column.name}: ‘${value}’ is no number.`,
        row,
        column: column.name,
      })
      return null
    }),
  )
  return problems.length > 0 ? { ok: false, problems } : good(numbers)
}
