import type { Stop } from './chart.ts'

type Spot = { x: number; y: number }

/** Where a stop lies on the screen; a stop without y lies at any height. */
export type Place = (stop: Stop) => { x: number; y: number | null }

/** The stop nearest to a place on the screen; −1 where there is none. */
export function nearestStop(
  stops: Stop[],
  options: { spot: Spot; place: Place; along: 'x' | 'both' },
): number {
  let best = -1
  let least = Number.POSITIVE_INFINITY
  stops.forEach((stop, index) => {
    const { x, y } = options.place(stop)
    const up = options.along === 'both' && y !== null ? y - options.spot.y : 0
    const distance = Math.hypot(x - options.spot.x, up)
    if (distance < least) {
      least = distance
      best = index
    }
  })
  return best
}

export type Direction = 'left' | 'right' | 'up' | 'down'

/**
 * The stop that an arrow key leads to. Along x the neighbour in order; in both directions the nearest of
 * those that lie that way, sideways distance counting twice. Stays where there is none.
 */
export function stopTowards(
  stops: Stop[],
  options: { from: number; direction: Direction; place: Place; along: 'x' | 'both' },
): number {
  const { from, direction } = options
  const start = stops[from]
  if (!start) return stops.length > 0 ? 0 : -1
  if (options.along === 'x') {
    const by = direction === 'right' || direction === 'up' ? 1 : -1
    return Math.min(stops.length - 1, Math.max(0, from + by))
  }
  const at = options.place(start)
  let best = from
  let least = Number.POSITIVE_INFINITY
  stops.forEach((stop, index) => {
    const { x, y } = options.place(stop)
    const [dx, dy] = [x - at.x, (y ?? 0) - (at.y ?? 0)]
    const [ahead, aside] = { right: [dx, dy], left: [-dx, dy], up: [-dy, dx], down: [dy, dx] }[direction] as [
      number,
      number,
    ]
    const cost = ahead + 2 * Math.abs(aside)
    if (ahead > 0.5 && cost < least) {
      least = cost
      best = index
    }
  })
  return best
}
