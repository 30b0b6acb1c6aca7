/** One column of a data table: numbers, or texts where it is categorical; null where a cell is empty. */
export type Column = {
  name: string
  unit?: string
  values: (number | string | null)[]
  /** By row: what the decimal as it was written holds beyond its double in `values`; absent where nothing is known. */
  rests?: number[]
}

/** Data as columns of equal length, as read from a file or drawn from a study. Rows count from 0. */
export type Table = { columns: Column[]; rows: number }

/** The column at some rows only, in that order. */
export function atRows(column: Column, rows: readonly number[]): Column {
  const { rests, values } = column
  return {
    ...column,
    values: rows.map((row) => values[row] ?? null),
    ...(rests ? { rests: rows.map((row) => rests[row] ?? 0) } : {}),
  }
}

/** The column of that name, or undefined. */
export function columnNamed(table: Table, name: string): Column | undefined {
  return table.columns.find((column) => column.name === name)
}

/** A column is categorical where it holds a text. */
export function isCategorical(column: Column): boolean {
  return column.values.some((value) => typeof value === 'string')
}
