import type { MeasuredArea } from '../film/substrate.ts'
import type { ContourBand } from './contour-bands.ts'

/** A level written on its line; in mm, y downwards. */
export type ContourLabel = { level: number; x: number; y: number }

type Spot = { x: number; y: number }

/** The most levels that are written, and the room about a label, over the longer side of the map. */
const most = 5
const room = 0.06

/**
 * Places on contour lines where their levels can be read: within the measured part, away from the sites and from each
 * other. Levels that have no such place are not written.
 */
export function contourLabels(
  bands: readonly ContourBand[],
  options: {
    sites: readonly { xMm: number; yMm: number }[]
    within: MeasuredArea
    /** The longer side of the substrate, mm. */
    size: number
  },
): ContourLabel[] {
  const { within, size } = options
  const taken: Spot[] = options.sites.map(({ xMm, yMm }) => ({ x: xMm, y: yMm }))
  const every = Math.max(1, Math.ceil(bands.length / most))
  const labels: ContourLabel[] = []
  for (const { level, polygons } of bands.filter((_, k) => k % every === 0)) {
    let best: Spot | null = null
    let widest = room * size
    for (const [x, y] of polygons.flat(2)) {
      if (!isWithin({ x, y }, within)) continue
      const free = taken.reduce((least, spot) => Math.min(least, Math.hypot(spot.x - x, spot.y - y)), size)
      if (free <= widest) continue
      widest = free
      best = { x, y }
    }
    if (!best) continue
    taken.push(best)
    labels.push({ level, x: best.x, y: -best.y })
  }
  return labels
}

/** A little inside, so that the text does not lie over the edge. */
function isWithin({ x, y }: Spot, area: MeasuredArea): boolean {
  return 'radius' in area
    ? Math.hypot(x, y) < 0.9 * area.radius
    : Math.abs(x) < 0.9 * area.halfWidth && Math.abs(y) < 0.9 * area.halfHeight
}
