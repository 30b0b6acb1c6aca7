import { testOf } from './analysis-of-variance.ts'
import { columnOf, type Expression, sameTerm, type Term } from './expression.ts'
import { type Fitted, fitFormula, keptOfTerm } from './fitted.ts'
import type { Table } from './table.ts'

/** The terms that are one numeric expression to the first power, and the squares of them that the model lacks. */
function missingSquares({ formula, frame }: Fitted): Term[] {
  const straight = formula.terms.flatMap(([part, second]) =>
    part && !second && part.kind !== 'power' && !(columnOf(part) in frame.levels) ? [part] : [],
  )
  const squares = straight.map((of): Term => [{ kind: 'power', of, exponent: 2 } as Expression])
  return squares.filter((square) => !formula.terms.some((term) => sameTerm(term, square)))
}

/**
 * Whether a model that is straight in its numeric columns should be curved: F test of the squares that it lacks,
 * added together. Null where none is lacking, or the runs cannot estimate any.
 */
export function curvatureTest(
  fitted: Fitted,
  options: { table: Table; weights?: string },
): { df1: number; df2: number; f: number; p: number } | null {
  const squares = missingSquares(fitted)
  if (squares.length === 0) return null
  const terms = [...fitted.formula.terms, ...squares]
  const wider = fitFormula({ ...options, formula: { ...fitted.formula, terms } })
  if (!wider.ok) return null
  const kept = squares.flatMap((_, i) => keptOfTerm(wider.value, fitted.formula.terms.length + i))
  // A column with two levels has no square of its own.
  if (kept.length === 0) return null
  const { effects, df } = wider.value.solution
  const sum = kept.reduce((total, k) => total + (effects.hi[k] as number) ** 2, 0)
  const { f, p } = testOf(sum, kept.length, wider.value.variance, df)
  return f === null || p === null ? null : { df1: kept.length, df2: df, f, p }
}
