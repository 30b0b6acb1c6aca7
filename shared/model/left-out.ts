import { diagnostics, fullLeverage } from './diagnostics.ts'
import { tQuantile } from './distributions.ts'
import { entry, type Paired, paired, setEntry } from './double-double.ts'
import { type Fitted, matrixOf, weighted } from './fitted.ts'
import { combination, leastSquares } from './least-squares.ts'
import { keptEntries } from './predict.ts'
import { intervalToMeasured, toMeasured } from './response.ts'

/**
 * Every run predicted by a fit that was made without it, in the measured unit and in the order of the used rows; or
 * the table rows (from 0) that cannot be predicted so, and the term that is lost without them.
 */
export type LeftOut = { ok: true; predicted: number[] } | { ok: false; rows: number[]; term: string | null }

/**
 * Leaves out one run at a time: the prediction is η − r / (1 − h), which needs no second fit (Belsley, Kuh & Welsch,
 * Regression Diagnostics, 1980, chapter 2).
 */
export function leavingOutRuns(fitted: Fitted): LeftOut {
  const { response, rows } = fitted.frame
  const { runs } = diagnostics(fitted)
  const alone = rows.filter((_, i) => (runs[i]?.leverage as number) >= fullLeverage)
  if (alone.length > 0) return { ok: false, rows: alone, term: null }
  return inMeasuredUnit(
    fitted,
    runs.map(({ residual, leverage }, i) => (response[i] as number) - residual / (1 - (leverage as number))),
  )
}

/**
 * What a fit made without a run predicts for it, with the interval for one new run, in the measured unit and in the
 * order of the used rows; null for a run without which there is no prediction. Like the prediction itself its variance
 * s² (1 + h / (1 − h)) needs no second fit (Belsley, Kuh & Welsch, chapter 2). Runs have equal weights.
 */
export function predictedWithoutOwn(
  fitted: Fitted,
  level = 0.95,
): ({ estimate: number; prediction: [number, number] } | null)[] {
  const { frame, columns, solution } = fitted
  const df = solution.df - 1
  if (df < 1 || frame.rows.length - 1 < columns.length) return frame.rows.map(() => null)
  const quantile = tQuantile((1 + level) / 2, df)
  return diagnostics(fitted).runs.map(({ residual, leverage }, i) => {
    const free = 1 - (leverage as number)
    if (1 - free >= fullLeverage) return null
    const eta = (frame.response[i] as number) - residual / free
    // Rounding may take a little more away than there is.
    const variance = Math.max(0, solution.residualSumOfSquares - residual ** 2 / free) / df
    const reach = quantile * Math.sqrt(variance / free)
    const estimate = toMeasured(frame.scale, eta)
    const prediction = intervalToMeasured(frame.scale, [eta - reach, eta + reach])
    return prediction && Number.isFinite(estimate) ? { estimate, prediction } : null
  })
}

/**
 * Leaves out one group of runs at a time, such as all of one plate visit, and fits the others anew.
 *
 * @param groupOf the group of each used row, in order
 */
export function leavingOutGroups(fitted: Fitted, groupOf: Int32Array): LeftOut {
  const { frame, columns } = fitted
  const matrix = matrixOf(frame, columns)
  const [rows, response] = weighted(frame, matrix)
  const eta: number[] = Array(frame.rows.length).fill(Number.NaN)
  for (const group of new Set(groupOf)) {
    const places = (inside: boolean) =>
      frame.rows.flatMap((_, i) => ((groupOf[i] === group) === inside ? [i] : []))
    const [left, kept] = [places(true), places(false)]
    const { factorization, ...solution } = leastSquares(
      rows.map((column) => picked(column, kept)),
      picked(response, kept),
    )
    for (const i of left) {
      const found = keptEntries(factorization, {
        hi: Float64Array.from(matrix, ({ hi }) => hi[i] as number),
        lo: Float64Array.from(matrix, ({ lo }) => lo[i] as number),
      })
      if ('needs' in found)
        return {
          ok: false,
          rows: left.map((k) => frame.rows[k] as number),
          term: columns[found.needs]?.name ?? null,
        }
      eta[i] = combination({ factorization, ...solution }, found).estimate
    }
  }
  return inMeasuredUnit(fitted, eta)
}

/** A value that stands for no measured one, such as a negative root, is not a prediction. */
function inMeasuredUnit({ frame }: Fitted, eta: number[]): LeftOut {
  const predicted = eta.map((value) => toMeasured(frame.scale, value))
  const lost = frame.rows.filter((_, i) => !Number.isFinite(predicted[i]))
  return lost.length > 0 ? { ok: false, rows: lost, term: null } : { ok: true, predicted }
}

function picked(column: Paired, places: number[]): Paired {
  const result = paired(places.length)
  places.forEach((place, i) => {
    setEntry(result, i, entry(column, place))
  })
  return result
}
