import type { ImportOptions } from '../../../shared/contract/calls/imports.ts'
import { type MappedSubstrate, studySites } from '../../../shared/film/site-map.ts'
import { fromEdge, type Outline, sizeOf } from '../../../shared/film/substrate.ts'

/** Where positions count from and which way y points. */
export type Axes = Pick<ImportOptions, 'origin' | 'yAxis'>
type Place = { site: number | null; xMm: number | null; yMm: number | null }

/** Positions may lie this far beyond the rim before they are called wrong, mm. */
export const rim = 0.5

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
export function guessLengthUnit(farthest: number, outline: Outline): string {
  const size = Math.max(...sizeOf(outline))
  const reach = size + rim
  if (farthest > reach && farthest * 1e-3 <= reach) return 'µm'
  const filled = farthest * 25.4
  return farthest > 0 && farthest < size / 20 && filled > size / 4 && filled <= reach ? 'inch' : 'mm'
}

/**
 * Where positions probably count from: the lower left where none is negative and some lie off a substrate around
 * the centre. That y points down is only told from sites whose numbers are those of the study's map.
 */
export function guessAxes(places: readonly Place[], substrate: MappedSubstrate): Axes {
  let [least, nearest] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY]
  for (const { xMm, yMm } of places) {
    if (xMm === null || yMm === null) continue
    least = Math.min(least, xMm, yMm)
    nearest = Math.min(nearest, fromEdge(substrate, { x: xMm, y: yMm }))
  }
  const origin = least >= 0 && nearest < -rim ? 'lower left' : 'centre'
  const map = new Map(studySites(substrate).map((site) => [site.site, site]))
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
export function placeOn({ origin, yAxis }: Axes, outline: Outline) {
  const [right, up] = sizeOf(outline).map((size) => (origin === 'lower left' ? size / 2 : 0)) as [
    number,
    number,
  ]
  // With y pointing down, what is called lower left is the upper left corner.
  return {
    x: (mm: number) => mm - right,
    y: (mm: number) => (yAxis === 'up' ? mm - up : up - mm),
  }
}
