import type { Study } from '../contract/things.ts'
import { siteMap } from './site-map.ts'

/**
 * Whether the thickness readings of a run fill the study's site map. Readings without a site, such as step heights,
 * have no map to fill.
 */
export function fullyRead(
  study: Pick<Study, 'siteMap' | 'diameterMm' | 'edgeExclusionMm'>,
  readings: readonly { site: number | null }[],
): boolean {
  const read = new Set(readings.map(({ site }) => site))
  return read.has(null) || siteMap({ ...study, name: study.siteMap }).every(({ site }) => read.has(site))
}
