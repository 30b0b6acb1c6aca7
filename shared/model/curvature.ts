import { pWords } from '../charts/format.ts'
import type { Problem } from '../problem.ts'
import { testOf } from './analysis-of-variance.ts'
import { columnOf, type Expression, sameTerm, type Term } from './expression.ts'
import { type Fitted, matrixOf, tooLarge, weighted } from './fitted.ts'
import { leastSquares } from './least-squares.ts'
import { modelColumns } from './terms.ts'

/** The terms that are one numeric expression to the first power, and the squares of them that the model lacks. */
export function missingSquares({ formula, frame }: Fitted): Term[] {
  const straight = formula.terms.flatMap(([part, second]) =>
    part && !second && part.kind !== 'power' && !(columnOf(part) in frame.levels) ? [part] : [],
  )
  const squares = straight.map((of): Term => [{ kind: 'power', of, exponent: 2 } as Expression])
  return squares.filter((square) => !formula.terms.some((term) => sameTerm(term, square)))
}

/** The warning that the runs are curved where the model is straight; none above this p. */
export function curvatureProblems(
  test: { df1: number; df2: number; f: number; p: number } | null,
  significant = 0.05,
): Problem[] {
  if (test === null || test.p >= significant) return []
  const { df1, df2, f, p } = test
  const df = Number(df2.toFixed(1))
  const message =
    `The data are curved where the model is straight: adding squares gives ` +
    `F(${df1}, ${df}) = ${f.toPrecision(4)}, ${pWords(p)}.`
  return [{ code: 'curvature', message }]
}

/**
 * Whether a model that is straight in its numeric columns should be curved: F test of the squares that it lacks,
 * added together. Null where none is lacking, or the runs cannot estimate any.
 */
export function curvatureTest(fitted: Fitted): { df1: number; df2: number; f: number; p: number } | null {
  const squares = missingSquares(fitted)
  if (squares.length === 0) return null
  const { formula, frame } = fitted
  const columns = modelColumns([...formula.terms, ...squares], frame.levels)
  if (!columns.ok || columns.value.length > frame.rows.length) return null
  const matrix = matrixOf(frame, columns.value)
  if (tooLarge(matrix) !== undefined) return null
  // For a warning, doubles do wherever they keep their digits.
  const { factorization, effects, df, residualSumOfSquares } = leastSquares(...weighted(frame, matrix), 0)
  const added = factorization.kept.flatMap((column, k) =>
    (columns.value[column]?.term ?? 0) >= formula.terms.length ? [k] : [],
  )
  // A column with two levels has no square of its own.
  if (added.length === 0 || df === 0) return null
  const sum = added.reduce((total, k) => total + (effects.hi[k] as number) ** 2, 0)
  const { f, p } = testOf(sum, added.length, residualSumOfSquares / df, df)
  return f === null || p === null ? null : { df1: added.length, df2: df, f, p }
}
