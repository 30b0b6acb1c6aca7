import { diagnostics, fullLeverage } from './diagnostics.ts'
import { entry, type Paired, paired, setEntry } from './double-double.ts'
import { type Fitted, matrixOf, weighted } from './fitted.ts'
import { combination, leastSquares } from './least-squares.ts'
import { keptEntries } from './predict.ts'
import { toMeasured } from './response.ts'

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
      const found = keptEntries(
        factorization,
        matrix.map((column) => entry(column, i)),
      )
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
