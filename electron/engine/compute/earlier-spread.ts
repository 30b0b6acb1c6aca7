import { fitMixed } from '../../../shared/model/mixed.ts'
import { variancesOf } from '../../../shared/model/mixed-fit.ts'
import type { EarlierSpread } from '../../../shared/model/over-days.ts'
import { columnNamed, type Table } from '../../../shared/model/table.ts'
import { keptBy } from './kept.ts'

/** Another study on the same tools: its runs, the model of its thickness on the log scale, and which tools it shares. */
export type EarlierStudy = { table: Table; model: string; sameCoater: boolean; samePlate: boolean }

/**
 * What earlier studies tell of the deviation between sessions (on the same coater) and between visits to the plate (on
 * the same one): their variances weighed by degrees of freedom. A variance estimated as 0 counts as such.
 */
export function earlierSpread(studies: readonly EarlierStudy[]): EarlierSpread {
  const sums = { session: { squares: 0, df: 0 }, plateVisit: { squares: 0, df: 0 } }
  for (const { table, model, sameCoater, samePlate } of studies) {
    for (const { group, variance, df } of keptBy(['components', table, model], () =>
      componentsOf(table, model),
    )) {
      const counts = group === 'session' ? sameCoater : samePlate
      if (!counts || df <= 0) continue
      sums[group].squares += df * variance
      sums[group].df += df
    }
  }
  return Object.fromEntries(
    Object.entries(sums).flatMap(([group, { squares, df }]) =>
      squares > 0 ? [[group, { standardDeviation: Math.sqrt(squares / df), df }]] : [],
    ),
  )
}

type Component = { group: 'session' | 'plateVisit'; variance: number; df: number }

function componentsOf(table: Table, model: string): Component[] {
  const nested = columnNamed(table, 'plateVisit') ? ['session/plateVisit', 'session'] : ['session']
  if (!columnNamed(table, 'session')) return []
  for (const random of nested) {
    const fitted = fitMixed({ table, model, random })
    if (!fitted.ok) continue
    const { mixed } = fitted.value
    const variances = variancesOf(mixed)
    return mixed.reduced.tree.names.map((name, g) => ({
      group: name.endsWith('plateVisit') ? 'plateVisit' : 'session',
      variance: variances[g] as number,
      df: mixed.strata[g] as number,
    }))
  }
  return []
}
