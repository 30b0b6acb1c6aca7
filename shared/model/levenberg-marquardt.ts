import type { Paired } from './double-double.ts'
import { type LeastSquares, leastSquares } from './least-squares.ts'

/** Residuals (measured minus computed) and the derivatives of what is computed, one column a parameter. */
export type Evaluation = { residuals: Float64Array; slopes: Float64Array[] }

/** Where a search ended. */
export type Ended = {
  parameters: number[]
  evaluation: Evaluation
  /** Fit of the residuals on the slopes there. */
  tangent: LeastSquares
  sumOfSquares: number
  /** `converged`: no direction lowers the sum of squares. `singular`: the data leave a parameter open. */
  reason: 'converged' | 'stalled' | 'singular' | 'iterationLimit'
  iterations: number
}

/**
 * Relative offset below which a search has converged: the part of the residuals along the model's tangent plane against
 * the part across it (Bates & Watts, Technometrics 23, 1981).
 */
const smallOffset = 1e-8
const exactShare = 1e-28
const polishingSteps = 200

/**
 * Least squares by Levenberg and Marquardt's damped steps, each the solution of an augmented linear problem by QR
 * (Moré, Lecture Notes in Mathematics 630, 1978), scaled by the largest slopes met so far, the damping steered by the
 * gain of each step (Nielsen, report IMM-REP-1999-05, Technical University of Denmark, 1999).
 *
 * @param evaluate null where the model has no value
 * @returns null where the model has no value at the start
 */
export function levenbergMarquardt(
  evaluate: (parameters: number[]) => Evaluation | null,
  start: number[],
  limit = 500,
): Ended | null {
  const first = evaluate(start)
  if (!first) return null
  const scale = start.map(() => 0)
  let [parameters, evaluation] = [start, first]
  let sumOfSquares = squares(evaluation.residuals)
  const reference = sumOfSquares
  let [damping, growth] = [1e-3, 2]
  let tangent = tangentOf(evaluation)
  const end = (reason: Ended['reason'], iterations: number): Ended =>
    reason === 'converged'
      ? polished(evaluate, { parameters, evaluation, tangent, sumOfSquares, reason, iterations })
      : { parameters, evaluation, tangent, sumOfSquares, reason, iterations }
  for (let iteration = 0; iteration < limit; iteration++) {
    const full = tangent.rank === start.length
    if (sumOfSquares <= exactShare * reference || (full && offset(tangent) < smallOffset))
      return end(full ? 'converged' : 'singular', iteration)
    evaluation.slopes.forEach((column, j) => {
      scale[j] = Math.max(scale[j] as number, Math.sqrt(squares(column)))
    })
    for (;;) {
      const step = dampedStep(evaluation, scale, damping)
      const tried = parameters.map((value, j) => value + (step.by[j] as number))
      const next = evaluate(tried)
      const lowered = next ? sumOfSquares - squares(next.residuals) : Number.NEGATIVE_INFINITY
      if (next && lowered > 1e-4 * step.promised) {
        const gain = lowered / step.promised
        damping *= Math.max(1 / 3, 1 - (2 * gain - 1) ** 3)
        growth = 2
        ;[parameters, evaluation] = [tried, next]
        sumOfSquares = squares(evaluation.residuals)
        tangent = tangentOf(evaluation)
        break
      }
      damping *= growth
      growth *= 2
      const tiny = step.by.every((value, j) => Math.abs(value) <= 1e-15 * Math.abs(parameters[j] as number))
      if (tiny || damping > 1e30)
        return end(!full ? 'singular' : offset(tangent) < 1e-4 ? 'converged' : 'stalled', iteration)
    }
  }
  return end('iterationLimit', limit)
}

/** Undamped steps towards the last digits, kept as long as they bring the offset down. */
function polished(evaluate: (parameters: number[]) => Evaluation | null, ended: Ended): Ended {
  let best = ended
  for (let i = 0; i < polishingSteps; i++) {
    const parameters = best.parameters.map((value, j) => value + (best.tangent.estimates.hi[j] as number))
    const evaluation = evaluate(parameters)
    if (!evaluation) break
    const tangent = tangentOf(evaluation)
    if (tangent.rank < parameters.length || offset(tangent) >= offset(best.tangent)) break
    best = { ...best, parameters, evaluation, tangent, sumOfSquares: squares(evaluation.residuals) }
  }
  return best
}

function squares(values: Float64Array): number {
  return values.reduce((sum, value) => sum + value * value, 0)
}

function inPairs(values: Float64Array): Paired {
  return { hi: values, lo: new Float64Array(values.length) }
}

function tangentOf({ residuals, slopes }: Evaluation): LeastSquares {
  return leastSquares(slopes.map(inPairs), inPairs(residuals))
}

function offset({ effects, rank, df, residualSumOfSquares }: LeastSquares): number {
  let along = 0
  for (let k = 0; k < rank; k++) along += (effects.hi[k] as number) ** 2
  if (along === 0) return 0
  return Math.sqrt(along / rank / (residualSumOfSquares / Math.max(1, df)))
}

/** The step δ that minimizes |r − Jδ|² + damping·|scale·δ|², and the reduction that the linear model promises. */
function dampedStep({ residuals, slopes }: Evaluation, scale: number[], damping: number) {
  const n = residuals.length
  const longer = (values: Float64Array) => {
    const result = new Float64Array(n + scale.length)
    result.set(values)
    return result
  }
  const columns = slopes.map((column, j) => {
    const result = longer(column)
    result[n + j] = Math.sqrt(damping) * ((scale[j] as number) || 1)
    return inPairs(result)
  })
  const { factorization, estimates } = leastSquares(columns, inPairs(longer(residuals)))
  const by = scale.map(() => 0)
  factorization.kept.forEach((j, k) => {
    by[j] = estimates.hi[k] as number
  })
  let promised = 0
  for (let i = 0; i < n; i++)
    promised += slopes.reduce((sum, column, j) => sum + (column[i] as number) * (by[j] as number), 0) ** 2
  by.forEach((value, j) => {
    promised += 2 * damping * (((scale[j] as number) || 1) * value) ** 2
  })
  return { by, promised }
}
