import type { FilmUncertainty, MeasuredRepeatability, UncertaintyPart } from '../contract/results/film.ts'
import type { Gauge } from '../contract/tools.ts'

/** What of a gauge goes into the uncertainty of a mean: nm, nm and a share of the thickness, with their degrees of freedom. */
export type GaugeSpread = Partial<Pick<Gauge, 'repeatability' | 'reload' | 'calibration' | 'origins'>>

/**
 * The combined standard uncertainty of independent parts and its effective degrees of freedom (JCGM 100:2008, 5.1.2
 * and Welch–Satterthwaite, G.4.1); null degrees of freedom are infinitely many.
 */
export function combinedUncertainty(parts: readonly Pick<UncertaintyPart, 'value' | 'df'>[]): {
  standard: number
  df: number | null
} {
  const standard = Math.hypot(...parts.map(({ value }) => value))
  const counted = parts.flatMap(({ value, df }) => (df === null || value === 0 ? [] : [value ** 4 / df]))
  const sum = counted.reduce((total, part) => total + part, 0)
  return { standard, df: sum > 0 ? standard ** 4 / sum : null }
}

/** With fewer degrees of freedom than this, what the gauge's page says is the better guess. */
const fewestRepeatDf = 3

/**
 * The budget of a mean of sites, in the unit of the readings (JCGM 100:2008, 4.2 and 5.1).
 *
 * Site scatter is the residual standard deviation after the shape fit, over √n: fixed sites on a smooth bowl are no
 * independent observations of one quantity. It holds the gauge's repeatability already, which is taken out of it and
 * stands as a part of its own, over √ of the repeats that each site has; where less scatter is seen than the gauge
 * alone makes, the gauge's is taken. It is the one measured here, where that has 3 degrees of freedom or the gauge's
 * page says none. The reload is common to the sites of one substrate, the calibration to all that the gauge reads:
 * neither shrinks with n.
 *
 * @param scatter.df its degrees of freedom
 * @param readingsBySite how many readings the value of each site is the mean of
 * @returns null where there is neither scatter nor anything known of the gauge
 */
export function meanUncertainty(input: {
  mean: number | null
  scatter: { standardDeviation: number; df: number } | null
  readingsBySite: readonly number[]
  measured?: Pick<MeasuredRepeatability, 'standardDeviation' | 'df'> | null
  gauge: GaugeSpread | null
}): FilmUncertainty | null {
  const { mean, scatter, readingsBySite, measured = null } = input
  const { repeatability: stated = null, reload = null, calibration = null } = input.gauge ?? {}
  const here = measured && (measured.df >= fewestRepeatDf || stated === null) ? measured : null
  const repeatability = here?.standardDeviation ?? stated
  const df = (name: keyof Gauge['origins']) => input.gauge?.origins?.[name]?.df ?? null
  const n = readingsBySite.length
  if (mean === null || n === 0) return null
  const ofGauge = repeatability
    ? (repeatability * Math.sqrt(readingsBySite.reduce((sum, count) => sum + 1 / count, 0))) / n
    : 0
  const parts: UncertaintyPart[] = []
  if (scatter) {
    const whole = scatter.standardDeviation / Math.sqrt(n)
    const value = Math.sqrt(Math.max(0, whole ** 2 - ofGauge ** 2))
    parts.push({ name: 'sites', value, df: scatter.df })
  }
  if (repeatability !== null) {
    const own = here?.df ?? df('repeatability')
    parts.push({ name: 'repeatability', value: ofGauge, df: own })
  }
  if (reload !== null) parts.push({ name: 'reload', value: reload, df: df('reload') })
  if (calibration !== null)
    parts.push({ name: 'calibration', value: calibration * mean, df: df('calibration') })
  return parts.length === 0 ? null : { parts, ...combinedUncertainty(parts) }
}
