import { solved, type Triangle, triangleOf } from './triangle.ts'

/** Residuals (measured minus computed) and the derivatives of what is computed, one column a parameter. */
export type Evaluation = { residuals: Float64Array; slopes: Float64Array[] }

/** The model at given parameters; null where it has no value. */
export type Evaluate = (parameters: number[]) => Evaluation | null

/** Within what each parameter stays; infinite where an end is open, both ends equal where it is held. */
export type Bounds = { lower: number[]; upper: number[] }

/** How a search is to go. */
export type Search = {
  bounds: Bounds
  /** A sum of squares this low is rounding: the model goes through every run. */
  exact: number
}

/** A place that a search came to. */
export type Place = {
  parameters: number[]
  /** Parameters that do not rest on a bound, in order. */
  free: number[]
  evaluation: Evaluation
  sumOfSquares: number
}

/** `converged`: no direction lowers the sum of squares. `singular`: the data leave a parameter open. */
export type Reason = 'converged' | 'stalled' | 'singular' | 'stepLimit'

/**
 * Relative offset below which a search has converged: the part of the residuals along the model's tangent plane against
 * the part across it (Bates & Watts, Technometrics 23, 1981).
 */
const smallOffset = 1e-8
/** Where rounding lets no step go lower, a larger offset will do; more only as far as rounding explains it. */
const enoughOffset = 1e-4

/**
 * Least squares by Levenberg and Marquardt's damped steps, each the solution of an augmented linear problem by QR
 * (Moré, Lecture Notes in Mathematics 630, 1978), scaled by the largest slopes met so far, the damping steered by the
 * gain of each step (Nielsen, report IMM-REP-1999-05, Technical University of Denmark, 1999). A step that would leave
 * the bounds ends on them; a parameter on a bound that the residuals push outwards is held there.
 *
 * @param limit most steps, each of a few evaluations
 * @returns null where the model has no value at the start
 */
export function levenbergMarquardt(
  evaluate: Evaluate,
  start: number[],
  { bounds, exact }: Search,
  limit: number,
): (Place & { reason: Reason }) | null {
  const first = evaluate(start)
  if (!first) return null
  const scale = start.map(() => 0)
  let [at, damping, growth] = [placeAt(start, first, bounds), 1e-3, 2]
  const end = (reason: Reason) => ({ ...at, reason })
  for (let step = 0; step < limit; step++) {
    const { residuals, slopes } = at.evaluation
    const triangle = triangleOf(
      at.free.map((j) => slopes[j] as Float64Array),
      residuals,
    )
    const full = triangle.rank === at.free.length
    const offset = offsetOf(triangle, residuals.length)
    if (at.sumOfSquares <= exact || (full && offset < smallOffset))
      return end(full ? 'converged' : 'singular')
    slopes.forEach((column, j) => {
      scale[j] = Math.max(scale[j] as number, Math.sqrt(squares(column)))
    })
    for (;;) {
      const { by, promised } = dampedStep(at, triangle, scale, damping, bounds)
      const tried = at.parameters.map((value, j) => clamped(value + (by[j] as number), j, bounds))
      const next = promised > 0 ? evaluate(tried) : null
      const lowered = next ? at.sumOfSquares - squares(next.residuals) : Number.NEGATIVE_INFINITY
      if (next && lowered > 1e-4 * promised) {
        damping *= Math.max(1 / 3, 1 - (2 * (lowered / promised) - 1) ** 3)
        growth = 2
        at = placeAt(tried, next, bounds)
        break
      }
      damping *= growth
      growth *= 2
      const tiny = by.every((value, j) => Math.abs(value) <= 1e-15 * Math.abs(at.parameters[j] as number))
      if (!tiny && damping <= 1e30) continue
      const rounding = Math.sqrt(exact / at.sumOfSquares)
      return end(!full ? 'singular' : offset < Math.max(enoughOffset, rounding) ? 'converged' : 'stalled')
    }
  }
  return end('stepLimit')
}

/** The place with these parameters: which of them are free, and its sum of squares. */
export function placeAt(parameters: number[], evaluation: Evaluation, { lower, upper }: Bounds): Place {
  const { residuals, slopes } = evaluation
  const free = parameters.flatMap((value, j) => {
    const [low, high] = [lower[j] as number, upper[j] as number]
    if (low === high) return []
    if (value > low && value < high) return [j]
    const column = slopes[j] as Float64Array
    const push = column.reduce((sum, slope, i) => sum + slope * (residuals[i] as number), 0)
    return (value <= low ? push > 0 : push < 0) ? [j] : []
  })
  return { parameters, free, evaluation, sumOfSquares: squares(residuals) }
}

/** The value, or the bound of parameter j that it lies beyond. */
export function clamped(value: number, j: number, { lower, upper }: Bounds): number {
  return Math.min(Math.max(value, lower[j] as number), upper[j] as number)
}

function squares(values: Float64Array): number {
  let sum = 0
  for (const value of values) sum += value * value
  return sum
}

function offsetOf({ effects, rest }: Triangle, rows: number): number {
  const along = squares(effects)
  if (along === 0) return 0
  return Math.sqrt(along / effects.length / (rest / Math.max(1, rows - effects.length)))
}

/**
 * The step δ that minimizes |r − Jδ|² + damping·|scale·δ|², cut to the bounds, and the reduction of the sum of squares
 * that the linear model promises for it. Of J only its triangle is needed, so that many rows cost one pass a place and
 * not one a trial.
 */
function dampedStep(
  { parameters, free }: Place,
  { r, effects }: Triangle,
  scale: number[],
  damping: number,
  bounds: Bounds,
): { by: number[]; promised: number } {
  const p = free.length
  const weights = free.map((j) => Math.sqrt(damping) * ((scale[j] as number) || 1))
  const columns = r.map((column, k) => {
    const result = new Float64Array(2 * p)
    result.set(column)
    result[p + k] = weights[k] as number
    return result
  })
  const right = new Float64Array(2 * p)
  right.set(effects)
  const steps = solved(triangleOf(columns, right))
  const by = parameters.map(() => 0)
  free.forEach((j, k) => {
    const value = parameters[j] as number
    by[j] = clamped(value + (steps[k] as number), j, bounds) - value
  })
  const cut = free.some((j, k) => {
    const end = (parameters[j] as number) + (steps[k] as number)
    return clamped(end, j, bounds) !== end
  })
  const along = new Float64Array(p)
  r.forEach((column, k) => {
    for (let i = 0; i <= k; i++) along[i]! += (column[i] as number) * (by[free[k] as number] as number)
  })
  const whole = squares(along)
  const promised = cut
    ? 2 * along.reduce((sum, value, i) => sum + value * (effects[i] as number), 0) - whole
    : whole + weights.reduce((sum, weight, k) => sum + 2 * (weight * (steps[k] as number)) ** 2, 0)
  return { by: cut ? by : placed(steps, by, free), promised }
}

/** The steps in their places, without the rounding of a sum and a difference. */
function placed(steps: Float64Array, by: number[], free: number[]): number[] {
  free.forEach((j, k) => {
    by[j] = steps[k] as number
  })
  return by
}
