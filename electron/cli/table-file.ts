import { basename, extname } from 'node:path'
import type { Fit } from '../../shared/contract/results/fit.ts'
import { spreadsheetRow } from '../../shared/model/frame.ts'
import type { Column, Table } from '../../shared/model/table.ts'
import type { DecimalSign } from '../../shared/numbers.ts'
import { type Answer, good, type Problem, refuse } from '../../shared/problem.ts'
import { type CsvTable, readCsv, tableFromCsv } from '../engine/files/csv.ts'
import { readFile } from '../read-file.ts'
import { decimalOf, type Given, taker } from './options.ts'
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
  /** Rows that a person has left out: not in the table, each with its reason. */
  leftOut: Problem[]
  /** The cells of a column as they stand in the file, by row of the table. */
  cells(column: Column): string[]
  /** The column of that name, or of that whole header. */
  column(named: string): Answer<Column>
  /** A problem of a model, at the row of the file: lines above the header or blank ones shift them. */
  problemAtItsRow(problem: Problem): Problem
  atItsRow(refusal: { ok: false; problems: Problem[] }): { ok: false; problems: Problem[] }
  reportAtItsRows(report: Fit): Fit
}

/** Reads the table of the first operand; `prepare` takes out what is no row of it. */
export function readTable(
  given: Given,
  prepare: (csv: CsvTable) => CsvTable = (csv) => csv,
): Answer<FileTable> {
  const { problems, word } = taker(given)
  const decimal = decimalOf(given, word)
  if (problems.length > 0) return { ok: false, problems }
  const groups = ['by', 'random'].flatMap((option) => given.text(option)?.split('/') ?? [])
  return tableOf(given.operands[0] ?? '', decimal, { prepare, groups: groups.map((name) => name.trim()) })
}

/** Columns whose numbers are names: the same that the engine takes so. */
const groupColumns = ['lot', 'session', 'block', 'plate visit']

/** Takes out the rows of an export that a person left out: runs excluded or dropped. */
function withoutLeftOut(csv: CsvTable): { csv: CsvTable; leftOut: Problem[] } {
  const place = (header: string) => csv.columns.findIndex((column) => column.header === header)
  const [excluded, state] = [place('run excluded'), place('state')]
  const reasonOf = (cells: readonly string[]) => {
    const reason = excluded < 0 ? '' : (cells[excluded] ?? '').trim()
    if (reason !== '') return `excluded, ${reason}`
    return state >= 0 && cells[state]?.trim() === 'dropped' ? 'dropped' : null
  }
  const leftOut: Problem[] = csv.rows.flatMap(({ row, cells }) => {
    const reason = reasonOf(cells)
    return reason === null ? [] : [{ code: 'leftOut', message: `Row ${row} is left out: ${reason}.`, row }]
  })
  return { csv: { ...csv, rows: csv.rows.filter(({ cells }) => reasonOf(cells) === null) }, leftOut }
}

/** Reads the table of a file; the decimal sign is recognized unless it is given. */
export function tableOf(
  path: string,
  decimal: DecimalSign | undefined,
  options: { prepare?: (csv: CsvTable) => CsvTable; groups?: string[] } = {},
): Answer<FileTable> {
  const { prepare = (csv) => csv, groups = [] } = options
  const bytes = readFile(path)
  if (!bytes.ok) return bytes
  const read = readCsv(bytes.value, { decimal })
  if (!read.ok) return read
  const { csv, leftOut } = withoutLeftOut(prepare(read.value))
  const table = tableFromCsv(csv, [...groupColumns, ...groups])
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
    notes: [...csv.leftAside, ...leftOut].map(inWords),
    leftOut,
    cells(column) {
      const place = table.columns.indexOf(column)
      return csv.rows.map(({ cells }) => cells[place] ?? '')
    },
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
      problems: [...report.problems.map(problemAtItsRow), ...leftOut],
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
