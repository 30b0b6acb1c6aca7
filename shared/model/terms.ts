import { type Answer, good, type Problem } from '../problem.ts'
import {
  type DoubleDouble,
  divide,
  entry,
  fromNumber,
  multiply,
  multiplyEach,
  type Paired,
  paired,
  setEntry,
  wholePower,
} from './double-double.ts'
import {
  columnOf,
  type Expression,
  evaluate,
  expressionText,
  sameTerm,
  type Term,
  termText,
} from './expression.ts'
import type { Column } from './table.ts'

/** Levels of the categorical columns, by column name, in order; the first is the reference. */
export type Levels = Record<string, string[]>

/** One piece of a model column: a number made from a numeric column, or 1 at one level and 0 at the others. */
type Piece =
  | { kind: 'numeric'; expression: Expression }
  | { kind: 'level'; column: string; level: string; levels: string[] }

type Choice = { name: string; piece: Piece }

/** One column of the model matrix. */
export type ModelColumn = {
  /** As printed: `constant`, `log(speed)`, `speed.lot[B]`. */
  name: string
  /** Index of its term in the formula. */
  term: number
  pieces: Piece[]
}

/**
 * The columns of the model matrix, in formula order. A categorical column of k levels gives k − 1 of them
 * (differences from the first level) where the model also holds the term without it, and k where it does not.
 *
 * @returns a problem with code `formula` where a function or a power is put on a categorical column
 */
export function modelColumns(terms: Term[], levels: Levels): Answer<ModelColumn[]> {
  const problems: Problem[] = terms
    .flat()
    .filter((part) => part.kind !== 'column' && columnOf(part) in levels)
    .map((part) => ({
      code: 'formula',
      message: `${expressionText(part)} cannot be computed: ${columnOf(part)} holds texts, not numbers.`,
      column: 'model',
    }))
  if (problems.length > 0) return { ok: false, problems }
  const columns = terms.flatMap((term, index) => {
    let partial: { names: string[]; pieces: Piece[] }[] = [{ names: [], pieces: [] }]
    for (const part of term) {
      const choices = choicesFor(part, term, terms, levels)
      // The first categorical part varies fastest.
      partial = choices.flatMap((choice) =>
        partial.map(({ names, pieces }) => ({
          names: [...names, choice.name],
          pieces: [...pieces, choice.piece],
        })),
      )
    }
    return partial.map(({ names, pieces }) => ({
      name: names.length === 0 ? termText(term) : names.join('.'),
      term: index,
      pieces,
    }))
  })
  return good(columns)
}

function choicesFor(part: Expression, term: Term, terms: Term[], levels: Levels): Choice[] {
  const column = columnOf(part)
  const own = levels[column]
  if (!own) return [{ name: expressionText(part), piece: { kind: 'numeric', expression: part } }]
  const margin = term.filter((other) => other !== part)
  const shown = terms.some((other) => sameTerm(other, margin)) ? own.slice(1) : own
  return shown.map((level) => ({
    name: `${expressionText(part)}[${level}]`,
    piece: { kind: 'level', column, level, levels: own },
  }))
}

/** Writes the entries of all columns for one row, given its value in each named data column; the next row is written over it. */
export type RowWriter = (cell: (name: string) => number | string | null) => Paired

/**
 * Makes the entries of rows, products and whole powers in double-double arithmetic so that high powers lose nothing; NaN
 * where a column has no value (the logarithm of zero, a level that is unknown). What several columns share is computed
 * once a row.
 */
export function rowWriter(columns: readonly ModelColumn[]): RowWriter {
  const places = new Map<string, number>()
  const pieces: Piece[] = []
  const factors = columns.map((column) =>
    column.pieces.map((piece) => {
      const key = JSON.stringify(piece)
      const place = places.get(key) ?? pieces.push(piece) - 1
      places.set(key, place)
      return place
    }),
  )
  const own = paired(pieces.length)
  const row = paired(columns.length)
  return (cell) => {
    pieces.forEach((piece, i) => {
      setEntry(
        own,
        i,
        piece.kind === 'level'
          ? fromNumber(indicator(piece, cell(piece.column)))
          : exactly(piece.expression, number(cell(columnOf(piece.expression)))),
      )
    })
    for (let k = 0; k < factors.length; k++) {
      let value = one
      for (const place of factors[k] as number[])
        value = value === one ? entry(own, place) : multiply(value, entry(own, place))
      setEntry(row, k, value)
    }
    return row
  }
}

const one = fromNumber(1)

/** The column's entries over some rows of the data, written into `result`; see {@link rowWriter}. */
export function columnOver(
  column: ModelColumn,
  data: Map<string, Column>,
  rows: number[],
  result: Paired,
): void {
  const [first, ...others] = column.pieces
  if (first) pieceOver(first, data, rows, result)
  else result.hi.fill(1)
  if (others.length === 0) return
  const factor = paired(rows.length)
  for (const other of others) {
    pieceOver(other, data, rows, factor)
    multiplyEach(result, factor)
  }
}

function pieceOver(piece: Piece, data: Map<string, Column>, rows: number[], result: Paired): void {
  const { hi, lo } = result
  const name = piece.kind === 'level' ? piece.column : columnOf(piece.expression)
  const { values, rests } = data.get(name) ?? { values: [] }
  rows.forEach((row, i) => {
    const value = values[row] ?? null
    if (piece.kind === 'level') {
      hi[i] = indicator(piece, value)
      lo[i] = 0
    } else if (piece.expression.kind === 'column') {
      hi[i] = typeof value === 'number' ? value : Number.NaN
      lo[i] = rests?.[row] ?? 0
    } else setEntry(result, i, exactly(piece.expression, number(value, rests?.[row])))
  })
}

function number(cell: number | string | null, rest = 0): DoubleDouble {
  return { hi: typeof cell === 'number' ? cell : Number.NaN, lo: rest }
}

function indicator({ level, levels }: Piece & { kind: 'level' }, cell: number | string | null): number {
  const name = String(cell)
  return name === level ? 1 : levels.includes(name) ? 0 : Number.NaN
}

/** Beyond a double where the arithmetic is exact; the logarithm, the root and the like are those of the double. */
function exactly(expression: Expression, cell: DoubleDouble): DoubleDouble {
  if (expression.kind === 'column') return cell
  if (expression.kind === 'power' && Number.isInteger(expression.exponent)) {
    const base = exactly(expression.of, cell)
    const size = wholePower(base, Math.abs(expression.exponent))
    return expression.exponent > 0 ? size : divide(fromNumber(1), size)
  }
  if (expression.kind === 'function' && expression.name === 'inverse')
    return divide(fromNumber(1), exactly(expression.of, cell))
  return fromNumber(evaluate(expression, cell.hi))
}

/** Which parts of the term have no value at `x`, such as log(speed) where speed is 0. */
export function undefinedPart(
  term: Term,
  cell: (name: string) => number | string | null,
): Expression | undefined {
  return term.find((part) => {
    const x = cell(columnOf(part))
    return typeof x === 'number' && !Number.isFinite(evaluate(part, x))
  })
}
