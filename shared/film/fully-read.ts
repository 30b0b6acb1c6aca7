import { type MappedSubstrate, type Site, studySites } from './site-map.ts'

/** How far from a site of the map a reading may lie and still be of it, mm. */
const nearSite = 0.5

/**
 * Whether the thickness readings of a run fill the study's site map. Readings without a site, such as step heights,
 * have no map to fill.
 */
export function fullyRead(study: MappedSubstrate, readings: readonly { site: number | null }[]): boolean {
  const read = new Set(readings.map(({ site }) => site))
  return read.has(null) || studySites(study).every(({ site }) => read.has(site))
}

/** How many sites of the study's map are read; null where readings have no site, and so no map to fill. */
export function sitesRead(
  study: MappedSubstrate,
  readings: readonly { site: number | null }[],
): number | null {
  const read = new Set(readings.map(({ site }) => site))
  return read.size === 0 || read.has(null)
    ? null
    : studySites(study).filter(({ site }) => read.has(site)).length
}

/**
 * The number of the site of a map at which a reading lies: by its position where it has one, mm, else by its number.
 * Null where it lies at none of them, or has neither.
 */
export function siteOnMap(
  map: readonly Site[],
  { site, xMm, yMm }: { site: number | null; xMm: number | null; yMm: number | null },
): number | null {
  if (xMm === null || yMm === null) return site
  const found = map.find((one) => Math.hypot(one.xMm - xMm, one.yMm - yMm) <= nearSite)
  return found?.site ?? null
}
