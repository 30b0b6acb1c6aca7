import type { MeasuredRepeatability } from '../contract/results/film.ts'
import type { Reading } from '../contract/things.ts'

/** A value at a site: those of equal `site` are repeats of each other, one without is a site of its own. */
export type ReadingAtSite = {
  site?: number | string | null
  x: number | null
  y: number | null
  value: number
}

/** What tells the sites of a film apart: the number, else the position; null where neither is known. */
export function siteKey({ site, xMm, yMm }: Pick<Reading, 'site' | 'xMm' | 'yMm'>): number | string | null {
  return site ?? (xMm === null || yMm === null ? null : `${xMm}, ${yMm}`)
}

/** The mean of the repeats at a site, how many they are, and the sum of their squared deviations. */
export type SiteMean = {
  x: number | null
  y: number | null
  value: number
  count: number
  squares: number
}

/** The sites of a film in the order in which they are first read. */
export function siteMeans(readings: readonly ReadingAtSite[]): SiteMean[] {
  const sites: SiteMean[] = []
  const bySite = new Map<number | string, SiteMean>()
  for (const { site = null, x, y, value } of readings) {
    const known = site === null ? undefined : bySite.get(site)
    if (!known) {
      const first = { x, y, value, count: 1, squares: 0 }
      sites.push(first)
      if (site !== null) bySite.set(site, first)
      continue
    }
    // Welford (Technometrics 4, 1962): deviations of nearly equal values keep their digits.
    const away = value - known.value
    known.count += 1
    known.value += away / known.count
    known.squares += away * (value - known.value)
  }
  return sites
}

/** Standard normal quantile of 0.99. */
const z99 = 2.3263478740408408

/**
 * Standard deviation of repeated readings, pooled over sites by their degrees of freedom; null where no site has two.
 *
 * Against the gauge's stated value it is tested by χ² with that many degrees of freedom, whose 99 % point is that of
 * Wilson & Hilferty (Proc. Natl. Acad. Sci. USA 17, 1931), so that the page needs no distribution.
 */
export function pooledRepeatability(
  sites: readonly Pick<SiteMean, 'count' | 'squares'>[],
  statedByGauge: number | null,
): MeasuredRepeatability | null {
  const df = sites.reduce((sum, { count }) => sum + count - 1, 0)
  if (df === 0) return null
  const squares = sites.reduce((sum, site) => sum + site.squares, 0)
  const limit = df * (1 - 2 / (9 * df) + z99 * Math.sqrt(2 / (9 * df))) ** 3
  return {
    standardDeviation: Math.sqrt(squares / df),
    df,
    exceedsGauge: statedByGauge === null ? null : squares > limit * statedByGauge ** 2,
  }
}
