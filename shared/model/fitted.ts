import { type Answer, good, type Problem, refuse } from '../problem.ts'
import {
  copyOf,
  fromNumber,
  multiplyEach,
  type Paired,
  paired,
  pairedColumns,
  setEntry,
  squareRoot,
} from './double-double.ts'
import { expressionText } from './expression.ts'
import { type Formula, formulaText } from './formula.ts'
import { type Frame, frameOf } from './frame.ts'
import { type LeastSquares, leastSquares } from './least-squares.ts'
import type { Table } from './table.ts'
import { columnOver, type ModelColumn, modelColumns } from './terms.ts'

/** A formula fitted to a table: everything that reports and predictions are computed from. */
export type Fitted = {
  formula: Formula
  /** The formula written out, expanded. */
  text: string
  frame: Frame
  columns: ModelColumn[]
  solution: LeastSquares
  /** Residual mean square; null without degrees of freedom. */
  variance: number | null
}

/** Beyond this, squares and products would leave the range of a double. */
const largestEntry = 1e140

/**
 * Fits a formula that is read already.
 *
 * @param options.weights name of a column of 1/variance
 * @param options.also columns that are no part of the formula, whose empty cells leave a row out all the same
 * @returns problems where the formula has no response, names what the table does not hold, or has more columns
 * than there are rows (code `fewerRunsThanTerms`)
 */
export function fitFormula(options: {
  table: Table
  formula: Formula
  weights?: string
  also?: string[]
}): Answer<Fitted> {
  const { table, formula, weights } = options
  if (formula.response === null)
    return refuse('formula', 'The model names no response: write it before ‘~’.', { column: 'model' })
  const frame = frameOf(table, formula, formula.response, weights, options.also)
  if (!frame.ok) return frame
  const { rows, levels } = frame.value
  const columns = modelColumns(formula.terms, levels)
  if (!columns.ok) return columns
  if (rows.length < columns.value.length)
    return { ok: false, problems: [tooFewRuns(frame.value, columns.value, table), ...frame.value.problems] }
  const matrix = matrixOf(frame.value, columns.value)
  const huge = tooLarge(matrix)
  if (huge !== undefined)
    return refuse('tooLarge', `${columns.value[huge]?.name} gets too large to compute with.`, {
      column: 'model',
    })
  const solution = leastSquares(...weighted(frame.value, matrix))
  return good({
    formula,
    text: formulaText(formula),
    frame: frame.value,
    columns: columns.value,
    solution,
    variance: solution.df > 0 ? solution.residualSumOfSquares / solution.df : null,
  })
}

function tooFewRuns({ rows }: Frame, columns: ModelColumn[], table: Table): Problem {
  const used = rows.length === table.rows ? `${rows.length}` : `${rows.length} usable of ${table.rows}`
  return {
    code: 'fewerRunsThanTerms',
    message:
      `The model has ${columns.length} terms to estimate, the table only ${used} ` +
      `run${table.rows === 1 ? '' : 's'}. Take terms out or add runs.`,
  }
}

/** The first column that holds an entry too large to compute with, if there is one. */
export function tooLarge(matrix: Paired[]): number | undefined {
  const huge = matrix.findIndex(({ hi }) => hi.some((value) => !(Math.abs(value) < largestEntry)))
  return huge < 0 ? undefined : huge
}

/** The columns of the model matrix over the rows used, unweighted. */
export function matrixOf({ rows, columns: data }: Frame, columns: ModelColumn[]): Paired[] {
  const byName = new Map(data.map((column) => [column.name, column]))
  const matrix = pairedColumns(columns.length, rows.length)
  columns.forEach((column, k) => {
    columnOver(column, byName, rows, matrix[k] as Paired)
  })
  return matrix
}

/** Columns and response, each row times the root of its weight. */
export function weighted(frame: Frame, columns: Paired[]): [Paired[], Paired] {
  const { weights, response, responseRests } = frame
  const plain: Paired = { hi: response, lo: responseRests }
  if (!weights) return [columns, plain]
  const roots = paired(weights.length)
  weights.forEach((weight, i) => {
    setEntry(roots, i, squareRoot(fromNumber(weight)))
  })
  const times = (column: Paired) => {
    const result = copyOf(column)
    multiplyEach(result, roots)
    return result
  }
  return [columns.map(times), times(plain)]
}

/** The response as the formula writes it, such as log(thickness). */
export function responseText({ formula }: Fitted): string {
  return formula.response === null ? '' : expressionText(formula.response)
}

/** Indices into the kept columns that belong to the term. */
export function keptOfTerm({ solution, columns }: Fitted, term: number): number[] {
  return solution.factorization.kept.flatMap((column, k) => (columns[column]?.term === term ? [k] : []))
}
