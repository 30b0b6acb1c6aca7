import { type Fitted, keptOfTerm, matrixOf } from './fitted.ts'
import { inverseHalf } from './least-squares.ts'
import { cholesky, inner, logDeterminantOf } from './symmetric.ts'

/**
 * How many times the variance of each estimate is larger than if its term were independent of the others, by kept
 * column: 1 / (1 − R²) of the column on the others (Marquardt, Technometrics 12, 1970). For a term of several columns,
 * such as the levels of a lot, the generalized one to the power 1/columns, which does not depend on how levels are
 * coded (Fox & Monette, Journal of the American Statistical Association 87, 1992). Above about 10 the runs hardly
 * tell the term from the others. The constant has none (null); without a constant columns are taken about zero.
 */
export function varianceInflation(fitted: Fitted): (number | null)[] {
  const { columns, frame, formula, solution } = fitted
  const centred = formula.terms[0]?.length === 0
  const matrix = matrixOf(frame, columns)
  const half = inverseHalf(solution)
  const weights = frame.weights ?? new Float64Array(frame.rows.length).fill(1)
  const total = weights.reduce((sum, weight) => sum + weight, 0)
  const spreads = solution.factorization.kept.map((column) => {
    const values = matrix[column]?.hi ?? new Float64Array()
    const mean = centred ? inner(weights, values) / total : 0
    return values.map((value, i) => Math.sqrt(weights[i] as number) * (value - mean))
  })
  const result: (number | null)[] = solution.factorization.kept.map(() => null)
  formula.terms.forEach((term, index) => {
    const own = keptOfTerm(fitted, index)
    if (term.length === 0 || own.length === 0) return
    // Of length 1 each, so that no determinant leaves the range of a double.
    const lengths = own.map((k) => Math.sqrt(inner(spreads[k]!, spreads[k]!)))
    const of = (entry: (j: number, k: number) => number) => {
      const values = own.flatMap((_, j) => own.map((__, k) => entry(j, k)))
      const l = cholesky(Float64Array.from(values), own.length)
      return l === null ? Number.NaN : logDeterminantOf(l, own.length)
    }
    const apart = of((j, k) => inner(spreads[own[j]!]!, spreads[own[k]!]!) / (lengths[j]! * lengths[k]!))
    const among = of((j, k) => inner(half[own[j]!]!.hi, half[own[k]!]!.hi) * lengths[j]! * lengths[k]!)
    const factor = Math.exp((apart + among) / own.length)
    for (const k of own) result[k] = Number.isFinite(factor) ? factor : null
  })
  return result
}
