import type { Settings } from '../../contract/things.ts'
import { largest, smallest } from '../../extremes.ts'
import { missingSquares } from '../curvature.ts'
import { type Fitted, fitFormula } from '../fitted.ts'
import { groupsAtEqualSettings } from '../lack-of-fit.ts'
import { combination } from '../least-squares.ts'
import { rowAt } from '../predict.ts'
import type { Table } from '../table.ts'

/** Settings of at most so many numeric columns are gone through. */
const mostColumns = 5

/** Settings at which the model misses most: the share of the lack of fit that they make up, and the places of their runs. */
export function worstSettings(fitted: Fitted): { places: number[]; share: number }[] {
  const { residuals } = fitted.solution
  const groups = groupsAtEqualSettings(fitted.frame).map((places) => {
    const mean = places.reduce((sum, i) => sum + residuals[i]!, 0) / places.length
    return { places, size: places.length * mean ** 2 }
  })
  const total = groups.reduce((sum, { size }) => sum + size, 0)
  return groups
    .map(({ places, size }) => ({ places, share: total > 0 ? size / total : 0 }))
    .sort((a, b) => b.share - a.share)
}

/**
 * Where a run would tell the model from the same with the squares that it lacks: the low, middle and high settings of the
 * tested range at which the two differ most, in residual standard deviations. Null where no square is lacking or the runs
 * do not carry it.
 */
export function tellingSettings(fitted: Fitted, table: Table): { at: Settings; deviations: number } | null {
  const squares = missingSquares(fitted)
  const { formula, frame, variance } = fitted
  if (squares.length === 0 || !variance) return null
  const wider = fitFormula({ table, formula: { ...formula, terms: [...formula.terms, ...squares] } })
  if (!wider.ok || wider.value.solution.df < 1) return null
  const numeric = frame.columns.filter(({ name }) => !(name in frame.levels))
  if (numeric.length === 0 || numeric.length > mostColumns) return null
  let candidates: Settings[] = [
    Object.fromEntries(Object.entries(frame.levels).map(([name, levels]) => [name, levels[0] as string])),
  ]
  for (const { name, values } of numeric) {
    const used = frame.rows.map((row) => values[row] as number)
    const [low, high] = [smallest(used), largest(used)]
    candidates = candidates.flatMap((at) => [low, (low + high) / 2, high].map((x) => ({ ...at, [name]: x })))
  }
  const etaOf = (of: Fitted, at: Settings) => {
    const row = rowAt(of, at)
    return row.ok ? combination(of.solution, row.value).estimate : null
  }
  const differences = candidates.flatMap((at) => {
    const [narrow, wide] = [etaOf(fitted, at), etaOf(wider.value, at)]
    return narrow === null || wide === null
      ? []
      : [{ at, deviations: Math.abs(wide - narrow) / Math.sqrt(variance) }]
  })
  const [first, ...others] = differences
  return first
    ? others.reduce((most, each) => (each.deviations > most.deviations ? each : most), first)
    : null
}
