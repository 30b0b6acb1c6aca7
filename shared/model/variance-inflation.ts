import { sumOfSquares } from './double-double.ts'
import { type Fitted, matrixOf } from './fitted.ts'
import { inverseHalf } from './least-squares.ts'

/**
 * How many times the variance of each estimate is larger than if its column were independent of the others:
 * 1 / (1 − R²) of the column on the others (Marquardt, Technometrics 12, 1970). Above about 10 the runs hardly
 * tell the term from the others. The constant has none; without a constant the column is taken about zero.
 */
export function varianceInflation(fitted: Fitted): { term: string; factor: number }[] {
  const { columns, frame, formula, solution } = fitted
  const centred = formula.terms[0]?.length === 0
  const matrix = matrixOf(frame, columns)
  const half = inverseHalf(solution)
  const weight = (i: number) => frame.weights?.[i] ?? 1
  const total = frame.rows.reduce((sum, _, i) => sum + weight(i), 0)
  return solution.factorization.kept.flatMap((column, k) => {
    const { name, term } = columns[column] ?? { name: '', term: 0 }
    if (formula.terms[term]?.length === 0) return []
    const values = matrix[column]?.hi ?? new Float64Array()
    const mean = centred ? values.reduce((sum, value, i) => sum + weight(i) * value, 0) / total : 0
    const spread = values.reduce((sum, value, i) => sum + weight(i) * (value - mean) ** 2, 0)
    const z = half[k]
    return z ? [{ term: name, factor: spread * sumOfSquares(z).hi }] : []
  })
}
