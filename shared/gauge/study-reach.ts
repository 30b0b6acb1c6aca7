import type { GaugeStudySize } from '../contract/gauges.ts'
import type { GaugeReach } from '../contract/results/gauge.ts'
import { deviationFactors } from './variance-interval.ts'

/** What a study of a size would know, by the degrees of freedom of each part where nothing is missing. */
export function studyReach({ wafers, operators, reloads, scans }: GaugeStudySize): GaugeReach {
  const loadings = wafers * operators * reloads
  const parts = [
    { name: 'repeatability', df: loadings * (scans - 1) },
    { name: scans > 1 ? 'reload' : 'loading', df: wafers * operators * (reloads - 1) },
    { name: 'operators', df: operators - 1 },
    { name: 'wafers', df: wafers - 1 },
  ] as const
  return {
    readings: loadings * scans,
    parts: parts
      .filter(({ df }) => df > 0)
      .map(({ name, df }) => ({ name, df, factors: deviationFactors(df) })),
  }
}
