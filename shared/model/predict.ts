import type { PredictionResult } from '../contract/results/fit.ts'
import type { Settings } from '../contract/things.ts'
import { type Answer, good, refuse } from '../problem.ts'
import { copyOf, type Paired, paired } from './double-double.ts'
import { expressionText } from './expression.ts'
import type { Factorization } from './factorize.ts'
import type { Fitted } from './fitted.ts'
import { combination } from './least-squares.ts'
import { inOwnUnit } from './prediction.ts'
import { rowWriter, undefinedPart } from './terms.ts'

/** How closely a setting must keep the relation among terms that could not be told apart. */
const relationTolerance = 1e-8

/** Makes rows of the model matrix (kept columns) at settings, each written over the last. */
export type RowsOf = (at: Settings) => Answer<Paired>

/**
 * Rows for a search, which asks at thousands of settings.
 *
 * @returns problems as of {@link rowAt}
 */
export function rowsOf({ formula, frame, columns, solution }: Fitted): RowsOf {
  const write = rowWriter(columns)
  return (at) => {
    for (const { name } of frame.columns) {
      // Own settings only: a column may be called ‘constructor’.
      const value = Object.hasOwn(at, name) ? at[name] : undefined
      const levels = frame.levels[name]
      if (value === undefined || (!levels && typeof value !== 'number'))
        return refuse('missingSetting', `${name} needs a ${levels ? 'level' : 'number'}.`, { column: name })
      if (levels && !levels.includes(String(value)))
        return refuse('unknownLevel', `${name} has no level ‘${value}’. There are ${levels.join(', ')}.`, {
          column: name,
        })
    }
    const cell = (name: string) => at[name] ?? null
    const row = write(cell)
    // A part without a value leaves none to its column.
    const parts = row.hi.every(Number.isFinite) ? [] : formula.terms.map((term) => undefinedPart(term, cell))
    const part = parts.find((one) => one !== undefined)
    if (part)
      return refuse('outsideDomain', `${expressionText(part)} has no value at these settings.`, {
        column: expressionText(part),
      })
    const found = keptEntries(solution.factorization, row)
    if (!('needs' in found)) return good(found)
    return refuse(
      'notEstimable',
      `Here the prediction would need ${columns[found.needs]?.name}, which these runs cannot estimate.`,
    )
  }
}

const rows = new WeakMap<Fitted, RowsOf>()

/**
 * The row of the model matrix (kept columns) at the settings.
 *
 * @returns a problem with code `missingSetting`, `unknownLevel`, `outsideDomain` or `notEstimable`
 */
export function rowAt(fitted: Fitted, at: Settings): Answer<Paired> {
  const of = rows.get(fitted) ?? rowsOf(fitted)
  rows.set(fitted, of)
  const row = of(at)
  return row.ok ? good(copyOf(row.value)) : row
}

/** A row of the model matrix as its kept columns; or the column set aside that the fit would `need` to predict there. */
export function keptEntries({ kept, dropped }: Factorization, row: Paired): Paired | { needs: number } {
  for (const { column, coefficients, size: usual } of dropped) {
    const parts = coefficients.map((c, k) => c * (row.hi[kept[k] as number] as number))
    const own = row.hi[column] as number
    const size = Math.max(usual, Math.abs(own), ...parts.map(Math.abs))
    if (Math.abs(own - parts.reduce((a, b) => a + b, 0)) > relationTolerance * size) return { needs: column }
  }
  // Nothing set aside: the row is its own.
  if (dropped.length === 0) return row
  const result = paired(kept.length)
  for (let k = 0; k < kept.length; k++) {
    result.hi[k] = row.hi[kept[k] as number] as number
    result.lo[k] = row.lo[kept[k] as number] as number
  }
  return result
}

/**
 * Prediction at the settings, in the response's own unit: under a transformed response the estimate is the
 * median, and the intervals are those of the model's scale carried back. The prediction interval is for one new
 * run of weight 1 in the session of the data.
 *
 * @param quantile of t at the residual degrees of freedom
 */
export function predictAt(fitted: Fitted, at: Settings, quantile: number): Answer<PredictionResult> {
  const { variance, solution, frame } = fitted
  if (variance === null)
    return refuse('noDegreesOfFreedom', 'There are as many terms as runs: no interval can be given.')
  const row = rowAt(fitted, at)
  if (!row.ok) return row
  const { estimate: eta, variance: share } = combination(solution, row.value)
  const standardError = Math.sqrt(variance * share)
  return inOwnUnit({
    scale: frame.scale,
    at,
    scope: 'sameSession',
    eta,
    standardError,
    meanReach: quantile * standardError,
    runReach: quantile * Math.sqrt(variance * (1 + share)),
    df: solution.df,
    varianceSource: 'estimated',
  })
}
