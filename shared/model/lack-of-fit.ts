import type { Fit } from '../contract/results/fit.ts'
import { fUpper } from './distributions.ts'
import type { Fitted } from './fitted.ts'
import type { Frame } from './frame.ts'

/** Sum of squares within groups of runs at equal settings, with its degrees of freedom. */
export function pureError({ frame }: Pick<Fitted, 'frame'>): {
  sumOfSquares: number
  df: number
  groups: number
} {
  const groups = groupsAtEqualSettings(frame)
  let sumOfSquares = 0
  for (const group of groups) {
    if (group.length === 1) continue
    const first = group[0] as number
    const weight = (i: number) => frame.weights?.[i] ?? 1
    const above = (i: number) =>
      (frame.response[i] as number) -
      (frame.response[first] as number) +
      ((frame.responseRests[i] as number) - (frame.responseRests[first] as number))
    const mean = sumOver(group, (i) => weight(i) * above(i)) / sumOver(group, weight)
    sumOfSquares += sumOver(group, (i) => weight(i) * (above(i) - mean) ** 2)
  }
  return { sumOfSquares, df: frame.rows.length - groups.length, groups: groups.length }
}

/** Places among the used rows in groups that agree in every one of the columns. */
export function groupsAtEqualSettings({ rows, columns }: Pick<Frame, 'rows' | 'columns'>): number[][] {
  let groups = [rows.map((_, i) => i)]
  for (const { values } of columns) {
    if (groups.length === rows.length) break
    groups = groups.flatMap((group) => {
      const parts = new Map<number | string | null | undefined, number[]>()
      for (const i of group) {
        const value = values[rows[i] as number]
        const part = parts.get(value)
        if (part) part.push(i)
        else parts.set(value, [i])
      }
      return [...parts.values()]
    })
  }
  return groups
}

function sumOver(items: number[], value: (item: number) => number): number {
  return items.reduce((sum, item) => sum + value(item), 0)
}

/**
 * Lack of fit against the scatter of runs at equal settings of the model's columns; null where there are no such
 * runs, or the model already has a term for each setting. Handbook of Statistical Methods, section 4.4.4.6.
 */
export function lackOfFit(fitted: Fitted): Fit['lackOfFit'] {
  const pure = pureError(fitted)
  const df = pure.groups - fitted.solution.rank
  if (pure.df === 0 || df <= 0) return null
  const sumOfSquares = Math.max(0, fitted.solution.residualSumOfSquares - pure.sumOfSquares)
  const f = pure.sumOfSquares > 0 ? sumOfSquares / df / (pure.sumOfSquares / pure.df) : null
  return { df, pureErrorDf: pure.df, f, p: f === null ? null : fUpper(f, df, pure.df) }
}
