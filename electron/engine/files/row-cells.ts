import type { z } from 'zod'
import {
  type DecimalSign,
  hasThousandsSigns,
  parseNumber,
  type ThousandsSign,
} from '../../../shared/numbers.ts'
import type { Problem } from '../../../shared/problem.ts'
import { parsed } from './actual-columns.ts'
import type { ColumnMeaning } from './column-meaning.ts'
import type { FileRow } from './records.ts'

/** A column with what it means and where it stands. */
export type MeantColumn = Omit<ColumnMeaning, 'decimal' | 'thousands'> & {
  index: number
  decimal: DecimalSign
  thousands: ThousandsSign | undefined
  doubt: Problem | null
}

type Meaning = ColumnMeaning['means']

/**
 * The cells of one row after another, by the meanings of their columns. Every cell that cannot be read is a problem of
 * its own; what a row has no column for, or an empty cell, is null where nothing else is said.
 */
export class RowCells {
  readonly problems: Problem[] = []
  private readonly byMeaning = new Map<Meaning, MeantColumn>()
  private at: FileRow = { row: 0, cells: [] }

  constructor(columns: readonly MeantColumn[]) {
    for (const column of columns)
      if (!this.byMeaning.has(column.means)) this.byMeaning.set(column.means, column)
  }

  /** From now on the cells are those of this row. */
  turnTo(at: FileRow): void {
    this.at = at
  }

  /** The first column of that meaning. */
  column(means: Meaning): MeantColumn | undefined {
    return this.byMeaning.get(means)
  }

  /** The cell of a column without the blanks about it. */
  of(column: MeantColumn): string {
    return this.asWritten(column).trim()
  }

  asWritten(column: MeantColumn): string {
    return this.at.cells[column.index] as string
  }

  /** Text of the cell, null where it is empty, undefined where there is no such column. */
  text(means: Meaning): string | null | undefined {
    const column = this.column(means)
    return column && (this.of(column) || null)
  }

  number(column: MeantColumn, cell: string): number | null {
    const number = parseNumber(cell, { decimal: column.decimal, thousands: column.thousands })
    if (number.ok) return number.value
    this.refuse(column, cell, number.problems)
    return null
  }

  count(means: Meaning): number | null {
    return this.filled(means, (column, cell) => {
      const value = this.number(column, cell)
      if (value === null || Number.isInteger(value)) return value
      this.problem(column, 'notWhole', `‘${cell}’ is no whole number`)
      return null
    })
  }

  /** A number in the unit of its column, times what that unit holds of ours. */
  inUnits(means: Meaning, units: Record<string, number>, words: string): number | null {
    return this.filled(means, (column, cell) => {
      const factor = units[column.unit]
      const value = this.number(column, cell)
      if (factor !== undefined) return value === null ? null : value * factor
      this.problem(column, 'unknownUnit', `‘${column.unit}’ is no unit of ${words}`)
      return null
    })
  }

  oneOf<T extends string>(means: Meaning, words: readonly T[]): T | null {
    return this.filled(means, (column, cell) => {
      const word = words.find((each) => each === cell)
      if (word !== undefined) return word
      this.problem(column, 'unknownWord', `‘${cell}’ is none of ${words.join(', ')}`)
      return null
    })
  }

  /** Steps as our own files write them. */
  steps<T>(means: 'steps' | 'steps done', shape: z.ZodType<T>): T | null {
    return this.filled(means, (column, cell) => {
      const read = parsed(cell, shape)
      if (read === null)
        this.problem(column, 'unknownWord', 'this is no list of steps as the program writes it')
      return read
    })
  }

  private filled<T>(means: Meaning, read: (column: MeantColumn, cell: string) => T | null): T | null {
    const column = this.column(means)
    const cell = column && this.of(column)
    return column && cell ? read(column, cell) : null
  }

  /** The problems of a cell; what is asked about the whole column is not asked again by its cells. */
  refuse(column: MeantColumn, cell: string, problems: readonly Problem[]): void {
    if (column.doubt && hasThousandsSigns(cell)) return
    for (const { code, message } of problems) this.problem(column, code, message.replace(/\.$/, ''))
  }

  problem(column: MeantColumn, code: string, words: string): void {
    this.problems.push(this.about(column, code, `${words}.`))
  }

  /** Something about the cell of a column, with its place. */
  about({ column }: MeantColumn, code: string, words: string): Problem {
    const { row } = this.at
    return { code, message: `Row ${row}, ${column}: ${words}`, row, column }
  }
}
