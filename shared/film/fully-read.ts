import { type MappedSubstrate, studySites } from './site-map.ts'

/**
 * Whether the thickness readings of a run fill the study's site map. Readings without a site, such as step heights,
 * have no map to fill.
 */
export function fullyRead(study: MappedSubstrate, readings: readonly { site: number | null }[]): boolean {
  const read = new Set(readings.map(({ site }) => site))
  return read.has(null) || studySites(study).every(({ site }) => read.has(site))
}
