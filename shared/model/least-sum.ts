import type { Paired } from './double-double.ts'
import { type LeastSquares, leastSquares } from './least-squares.ts'
import { type Bounds, type Evaluate, type Place, placeAt, type Reason } from './levenberg-marquardt.ts'

/** Where a search ended, to the last digits. */
export type Ended = Place & {
  reason: Reason
  /** Fit of the residuals on the slopes of the free parameters there. */
  tangent: LeastSquares
}

const mostSteps = 200

/** The end of a search, brought by undamped steps as close to the least sum of squares as rounding lets it. */
export function leastSum(evaluate: Evaluate, found: Place & { reason: Reason }, bounds: Bounds): Ended {
  let best: Ended = { ...found, tangent: tangentOf(found) }
  for (let step = 0; step < mostSteps; step++) {
    const parameters = [...best.parameters]
    best.free.forEach((j, k) => {
      parameters[j] = (parameters[j] as number) + (best.tangent.estimates.hi[k] as number)
    })
    const outside = best.free.some(
      (j) =>
        (parameters[j] as number) <= (bounds.lower[j] as number) ||
        (parameters[j] as number) >= (bounds.upper[j] as number),
    )
    const evaluation = outside || best.tangent.rank < best.free.length ? null : evaluate(parameters)
    if (!evaluation) return best
    const next = placeAt(parameters, evaluation, bounds)
    if (next.free.length !== best.free.length) return best
    const tangent = tangentOf(next)
    if (tangent.rank < next.free.length || along(tangent) >= along(best.tangent)) return best
    best = { ...next, reason: best.reason, tangent }
  }
  return best
}

function tangentOf({ free, evaluation: { slopes, residuals } }: Place): LeastSquares {
  return leastSquares(
    free.map((j) => inPairs(slopes[j] as Float64Array)),
    inPairs(residuals),
  )
}

function inPairs(values: Float64Array): Paired {
  return { hi: values, lo: new Float64Array(values.length) }
}

/** The part of the residuals that lies along the tangent plane. */
function along({ effects, rank, residualSumOfSquares }: LeastSquares): number {
  let sum = 0
  for (let k = 0; k < rank; k++) sum += (effects.hi[k] as number) ** 2
  return sum === 0 ? 0 : sum / residualSumOfSquares
}
