import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { readCsv, tableFromCsv } from '../../../electron/engine/files/csv.ts'
import type { Table } from '../../../shared/model/table.ts'

/**
 * A published data file of tests/data as a table. Only for the plain files there: a header, commas, no commas
 * within cells.
 *
 * @param options.names columns whose numbers are names of groups
 */
export function dataTable(file: string, options: { names?: string[] } = {}): Table {
  const [header = [], ...lines] = dataText(file)
    .trim()
    .split(/\r?\n/)
    .map((line) => line.split(',').map((cell) => cell.replace(/^"(.*)"$/, '$1')))
  const columns = header.map((name, i) => ({
    name,
    values: lines.map((cells) => {
      const cell = cells[i] ?? ''
      return options.names?.includes(name) || Number.isNaN(Number(cell)) ? cell : Number(cell)
    }),
  }))
  return { columns, rows: lines.length }
}

/** A published data file of tests/data as it is written. */
export function dataText(file: string): string {
  return readFileSync(join(import.meta.dirname, '../../data', file), 'utf8')
}

/**
 * A table as the program reads it from a file, with what its decimals hold beyond doubles.
 *
 * @param names columns whose numbers are names of groups
 */
export function writtenTable(text: string, names: string[] = []): Table {
  const read = readCsv(text)
  if (!read.ok) throw new Error(read.problems.map((problem) => problem.message).join('\n'))
  return tableFromCsv(read.value, names)
}

/** The table with one more column, computed from the numbers of each row. */
export function withColumn(
  table: Table,
  name: string,
  value: (cell: (name: string) => number) => number,
): Table {
  const cellAt = (row: number) => (column: string) =>
    table.columns.find((other) => other.name === column)?.values[row] as number
  const values = Array.from({ length: table.rows }, (_, row) => value(cellAt(row)))
  return { columns: [...table.columns, { name, values }], rows: table.rows }
}
