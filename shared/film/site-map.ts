import type { SiteMapName } from '../contract/things.ts'

/** One place on the substrate: flat or notch down, x to the right, y up, origin in the centre. */
export type Site = { site: number; xMm: number; yMm: number }

/** Sites on one circle: their count, its radius over the outermost one's, the angle of the first in degrees. */
type Ring = { count: number; radius: number; turn: number }

const ring = (count: number, radius: number, turn = 0): Ring => ({ count, radius, turn })

/**
 * The rings around the centre site. The counts are common practice, no source; rings that hold as many sites as
 * the next one are turned by half a step so that no two sites lie on one spoke.
 */
const ringsOf: Record<SiteMapName, readonly Ring[]> = {
  '5': [ring(4, 1)],
  '9': [ring(4, 1 / 2, 45), ring(4, 1)],
  '9 ring': [ring(8, 1)],
  '13': [ring(4, 1 / 2, 45), ring(8, 1)],
  '17': [ring(8, 1 / 2, 22.5), ring(8, 1)],
  '25': [ring(8, 1 / 2), ring(16, 1)],
  '49': [ring(8, 1 / 3), ring(16, 2 / 3), ring(24, 1)],
}

/** Whole multiples of 1e-9 mm, so that 0 is 0 rather than 3e-15. */
const rounded = (mm: number) => Math.round(mm * 1e9) / 1e9 + 0

/**
 * The sites of a map, numbered from 1 in the centre outwards, on each ring counter-clockwise from +x. The
 * outermost ring lies on the edge exclusion.
 *
 * @throws RangeError where the edge exclusion leaves nothing to measure: callers check what people enter
 */
export function siteMap(options: { name: SiteMapName; diameterMm: number; edgeExclusionMm: number }): Site[] {
  const outer = options.diameterMm / 2 - options.edgeExclusionMm
  if (!(outer > 0))
    throw new RangeError(
      `An edge exclusion of ${options.edgeExclusionMm} mm leaves nothing of ${options.diameterMm} mm.`,
    )
  const sites: Site[] = [{ site: 1, xMm: 0, yMm: 0 }]
  for (const { count, radius, turn } of ringsOf[options.name])
    for (let k = 0; k < count; k++) {
      const angle = ((turn + (360 * k) / count) * Math.PI) / 180
      sites.push({
        site: sites.length + 1,
        xMm: rounded(outer * radius * Math.cos(angle)),
        yMm: rounded(outer * radius * Math.sin(angle)),
      })
    }
  return sites
}
