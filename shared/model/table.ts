/** One column of a data table: numbers, or texts where it is categorical; null where a cell is empty. */
export type Column = { name: string; unit?: string; values: (number | string | null)[] }

/** Data as columns of equal length, as read from a file or drawn from a study. Rows count from 0. */
export type Table = { columns: Column[]; rows: number }

/** The column of that name, or undefined. */
export function columnNamed(table: Table, name: string): Column | undefined {
  return table.columns.find((column) => column.name === name)
}

/** A column is categorical where it holds a text. */
export function isCategorical(column: Column): boolean {
  return column.values.some((value) => typeof value === 'string')
}
