import type { ImportOptions } from '../../../shared/contract/calls/imports.ts'
import type { Study } from '../../../shared/contract/things.ts'
import { siteMap } from '../../../shared/film/site-map.ts'

/** Where positions count from and which way y points. */
export type Axes = Pick<ImportOptions, 'origin' | 'yAxis'>
type Substrate = Pick<Study, 'diameterMm' | 'edgeExclusionMm' | 'siteMap'>
type Place = { site: number | null; xMm: number | null; yMm: number | null }

/** Positions may lie this far beyond the rim, mm. */
const rim = 0.5

/** mm in a unit of length as files name it. */
export const millimetres: Record<string, number> = {
  '': 1,
  mm: 1,
  cm: 10,
  m: 1000,
  nm: 1e-6,
  um: 1e-3,
  µm: 1e-3,
  μm: 1e-3,
  in: 25.4,
  inch: 25.4,
}

/** Degrees in a unit of angle as files name it. */
export const degrees: Record<string, number> = { '': 1, deg: 1, '°': 1, rad: 180 / Math.PI }

/**
 * The unit of positions that no header names: millimetres, unless the farthest lies off the substrate and is on it
 * in micrometres, or all crowd within a tenth of its radius and fill it in inches.
 *
 * @param farthest largest absolute coordinate, in the unit that is looked for
 */
export function guessLengthUnit(farthest: number, { diameterMm }: Substrate): string {
  const reach = diameterMm + rim
  if (farthest > reach && farthest * 1e-3 <= reach) return 'µm'
  const filled = farthest * 25.4
  return farthest > 0 && farthest < diameterMm / 20 && filled > diameterMm / 4 && filled <= reach
    ? 'inch'
    : 'mm'
}

/**
 * Where positions probably count from: the lower left where none is negative and some lie off a substrate around
 * the centre. That y points down is only told from sites whose numbers are those of the study's map.
 */
export function guessAxes(places: readonly Place[], substrate: Substrate): Axes {
  const radius = substrate.diameterMm / 2
  let [least, farthest] = [Number.POSITIVE_INFINITY, 0]
  for (const { xMm, yMm } of places) {
    if (xMm === null || yMm === null) continue
    least = Math.min(least, xMm, yMm)
    farthest = Math.max(farthest, Math.hypot(xMm, yMm))
  }
  const origin = least >= 0 && farthest > radius + rim ? 'lower left' : 'centre'
  const map = new Map(siteMap({ ...substrate, name: substrate.siteMap }).map((site) => [site.site, site]))
  const misfit = (yAxis: Axes['yAxis']) => {
    const place = placeOn({ origin, yAxis }, substrate)
    let sum = 0
    for (const { site, xMm, yMm } of places) {
      const known = site === null ? undefined : map.get(site)
      if (known && xMm !== null && yMm !== null)
        sum += Math.hypot(place.x(xMm) - known.xMm, place.y(yMm) - known.yMm)
    }
    return sum
  }
  const [up, down] = [misfit('up'), misfit('down')]
  return { origin, yAxis: down < 0.1 * up ? 'down' : 'up' }
}

/** Turns positions of a file, mm, into those about the substrate's centre, x to the right and y up. */
export function placeOn({ origin, yAxis }: Axes, { diameterMm }: Pick<Study, 'diameterMm'>) {
  const radius = origin === 'lower left' ? diameterMm / 2 : 0
  // With y pointing down, what is called lower left is the upper left corner.
  return {
    x: (mm: number) => mm - radius,
    y: (mm: number) => (yAxis === 'up' ? mm - radius : radius - mm),
  }
}
