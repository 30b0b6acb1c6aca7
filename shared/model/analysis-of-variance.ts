import type { Fit } from '../contract/results/fit.ts'
import { fUpper } from './distributions.ts'
import { entry, multiply } from './double-double.ts'
import { termText } from './expression.ts'
import { type Fitted, keptOfTerm } from './fitted.ts'
import { inverseHalf, jointSumOfSquares } from './least-squares.ts'

type Row = Fit['analysisOfVariance'][number]

/** Sum of squares and degrees of freedom of the response: about its mean where the model has a constant. */
export function totalOf({ formula, solution }: Fitted): { df: number; sumOfSquares: number } {
  const hasConstant = formula.terms[0]?.length === 0
  const rows = solution.factorization.rows
  let sumOfSquares = solution.residualSumOfSquares
  for (let k = hasConstant ? 1 : 0; k < solution.rank; k++) sumOfSquares += effectSquared(solution.effects, k)
  return { df: hasConstant ? rows - 1 : rows, sumOfSquares }
}

function effectSquared(effects: Fitted['solution']['effects'], k: number): number {
  return multiply(entry(effects, k), entry(effects, k)).hi
}

/** Sequential analysis of variance: terms in formula order, then `residual` and `total`. */
export function analysisOfVariance(fitted: Fitted): Row[] {
  const { formula, solution, variance } = fitted
  const rows: Row[] = formula.terms.flatMap((term, index) => {
    const kept = keptOfTerm(fitted, index)
    if (term.length === 0 || kept.length === 0) return []
    const sumOfSquares = kept.reduce((sum, k) => sum + effectSquared(solution.effects, k), 0)
    return [{ source: termText(term), ...testOf(sumOfSquares, kept.length, variance, solution.df) }]
  })
  rows.push({
    source: 'residual',
    df: solution.df,
    sumOfSquares: solution.residualSumOfSquares,
    meanSquare: variance,
    f: null,
    p: null,
  })
  rows.push({ source: 'total', ...totalOf(fitted), meanSquare: null, f: null, p: null })
  return rows
}

/** Each term, whole, tested against the model without it. */
export function marginalTests(fitted: Fitted): Fit['marginalTests'] {
  const { formula, solution, variance } = fitted
  const half = inverseHalf(solution)
  return formula.terms.flatMap((term, index) => {
    const kept = keptOfTerm(fitted, index)
    if (term.length === 0 || kept.length === 0) return []
    const { df, f, p } = testOf(
      jointSumOfSquares(half, solution.estimates, kept),
      kept.length,
      variance,
      solution.df,
    )
    return [{ term: termText(term), df, f, p }]
  })
}

/** A sum of squares tested against the residual variance; without that, or where it is 0, F and p are null. */
export function testOf(sumOfSquares: number, df: number, variance: number | null, residualDf: number) {
  const meanSquare = sumOfSquares / df
  const f = variance ? meanSquare / variance : null
  return { df, sumOfSquares, meanSquare, f, p: f === null ? null : fUpper(f, df, residualDf) }
}
