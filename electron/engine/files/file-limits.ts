import { fileLimits } from '../../../shared/limits.ts'
import { type Problem, refuse } from '../../../shared/problem.ts'
import { count } from '../../../shared/words.ts'

/** A number of things as a sentence shows it: 1 048 576. */
const shown = (number: number) => number.toLocaleString('en').replaceAll(',', '\u00A0')

/** The problem of a file with more characters, or bytes, than are read. */
export function tooLong(
  { length }: { length: number },
  most: number,
): { ok: false; problems: Problem[] } | null {
  return length <= most
    ? null
    : refuse('fileTooLarge', `The file has more than ${shown(most)} characters. Read it in parts.`)
}

/** The problem of a text with more lines, or longer ones, than are read. */
export function beyondLines(text: string): Problem | null {
  let [row, start] = [1, 0]
  for (let at = 0; at <= text.length; at++) {
    const sign = text.charCodeAt(at)
    if (at < text.length && sign !== 10 && sign !== 13) continue
    if (at - start > fileLimits.line)
      return {
        code: 'lineTooLong',
        message: `Line ${row} has more than ${shown(fileLimits.line)} characters: this is no table of readings.`,
        row,
      }
    if (sign === 10 || text.charCodeAt(at + 1) !== 10) row++
    start = at + 1
  }
  if (row - 2 <= fileLimits.table.rows) return null
  return {
    code: 'tooManyRows',
    message: `The file has more than ${shown(fileLimits.table.rows)} rows. Read it in parts.`,
    row: fileLimits.table.rows + 1,
  }
}

/** The problem of a header with more columns, or longer names, than are read, or of more cells below it. */
export function beyondColumns(
  { row, cells }: { row: number; cells: readonly string[] },
  rows: number,
): Problem | null {
  const { columns, cells: mostCells } = fileLimits.table
  if (cells.length > columns)
    return {
      code: 'tooManyColumns',
      message: `Row ${row} has ${shown(cells.length)} cells; a table may have ${shown(columns)} columns.`,
      row,
    }
  const long = cells.findIndex((cell) => cell.length > fileLimits.header)
  if (long >= 0)
    return {
      code: 'headerTooLong',
      message: `Row ${row}, cell ${long + 1}: the name of a column has more than ${shown(fileLimits.header)} characters.`,
      row,
    }
  if (cells.length * rows <= mostCells) return null
  return {
    code: 'tooManyCells',
    message:
      `The table has ${count(cells.length, 'column')} and ${shown(rows)} rows, more than ` +
      `${shown(mostCells)} cells. Read it in parts.`,
    row,
  }
}
