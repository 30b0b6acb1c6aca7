type Place = { x: number; y: number }

/** How far from the line a place may lie, as a share of the farthest place's distance from the centre. */
const tolerance = 0.01
/** Fewer places lie on a line by chance. */
const fewest = 3

/**
 * The line through the centre on which all places lie, as its unit vector to the farthest of them; null where they
 * do not lie on one.
 */
export function centreLine(places: readonly Place[]): Place | null {
  if (places.length < fewest) return null
  const farthest = places.reduce((most, one) => (distance(one) > distance(most) ? one : most))
  const reach = distance(farthest)
  if (reach === 0) return null
  const along = { x: farthest.x / reach, y: farthest.y / reach }
  const isOn = ({ x, y }: Place) => Math.abs(x * along.y - y * along.x) <= tolerance * reach
  return places.every(isOn) ? along : null
}

const distance = ({ x, y }: Place) => Math.hypot(x, y)
