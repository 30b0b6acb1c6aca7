import { type ColumnMeaning, meaningByWord, plainName } from './column-words.ts'
import type { CsvColumn, CsvTable } from './csv.ts'

/** What says where on a substrate a row was read. */
const places: readonly (ColumnMeaning['means'] | undefined)[] = ['site', 'x', 'y', 'radius', 'angle']

/**
 * A table that was filled in site by site, with a column for each substrate, as one with a row for each reading: substrate
 * after substrate, each row still by its number in the file. Any other table is left as it is.
 *
 * @param isRun whether a header is the code of a run
 */
export function runsAsRows(table: CsvTable, isRun: (header: string) => boolean): CsvTable {
  const words = table.columns.map(({ name }) => meaningByWord.get(plainName(name)))
  const runs = table.columns.flatMap(({ name }, i) => (words[i] === undefined && isRun(name) ? [i] : []))
  const first = table.columns[runs[0] ?? -1]
  const isBySite = words.some((word) => places.includes(word)) && !words.includes('run')
  if (!table.hasHeader || !first || runs.length < 2 || !isBySite) return table
  const rest = table.columns.flatMap((_, i) => (runs.includes(i) ? [] : [i]))
  const doubted = runs.flatMap((i) => table.columns[i]?.doubt ?? [])
  const run: CsvColumn = {
    header: 'run (its column)',
    name: 'run',
    unit: null,
    decimal: first.decimal,
    doubt: null,
  }
  const reading: CsvColumn = {
    ...{ header: 'thickness (in its column)', name: 'thickness', unit: first.unit },
    ...{ decimal: first.decimal, doubt: doubted[0] ?? null },
  }
  return {
    ...table,
    columns: [run, ...rest.map((i) => table.columns[i] as CsvColumn), reading],
    rows: runs.flatMap((i) =>
      table.rows.map(({ row, cells }) => ({
        row,
        cells: [table.columns[i]?.name ?? '', ...rest.map((k) => cells[k] ?? ''), cells[i] ?? ''],
      })),
    ),
  }
}
