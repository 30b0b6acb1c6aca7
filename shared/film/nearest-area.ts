import type { MeasuredArea } from './substrate.ts'

type Point = { x: number; y: number }

/**
 * Share of a disc or rectangle around the origin that lies nearer to each point than to any other; the shares sum to
 * 1. Exact but for rounding: the cell of each point is cut out of a polygon around the area by the bisectors with the
 * others, and what the cell has in common with a disc is summed edge by edge.
 *
 * @param points distinct points within the area
 */
export function nearestAreaShares(points: readonly Point[], area: MeasuredArea): number[] {
  if ('radius' in area) {
    const { radius } = area
    const around = polygonAround(radius)
    const disc = Math.PI * radius ** 2
    return points.map((point) => areaWithinDisc(cellOf(point, points, around), radius) / disc)
  }
  const { halfWidth: x, halfHeight: y } = area
  const rectangle = [
    { x: -x, y: -y },
    { x, y: -y },
    { x, y },
    { x: -x, y },
  ]
  return points.map((point) => areaOf(cellOf(point, points, rectangle)) / (4 * x * y))
}

/** The part of a convex polygon that is nearest to `point`; corners counter-clockwise. */
function cellOf(point: Point, points: readonly Point[], polygon: readonly Point[]): Point[] {
  const away = points.map((other) => distance(other, point))
  const size = Math.max(...polygon.map(({ x, y }) => Math.hypot(x, y)))
  // Only near neighbours cut; how near is not known before, so the reach grows until the cell lies within it.
  for (let reach = (4 * size) / Math.sqrt(points.length); ; reach *= 2) {
    const neighbours = points.filter((other, i) => other !== point && (away[i] as number) <= reach)
    let corners = [...polygon]
    for (const other of neighbours) corners = cutByBisector(corners, point, other)
    // A bisector with a point beyond the reach is farther away than half of it.
    const cellReaches = Math.max(...corners.map((corner) => distance(corner, point)))
    if (cellReaches <= reach / 2 || neighbours.length === points.length - 1) return corners
  }
}

/** A regular polygon clear of the disc all round: sides that touch it would cost digits. */
function polygonAround(discRadius: number): Point[] {
  const sides = 16
  const reach = 1.1 * discRadius
  return Array.from({ length: sides }, (_, k) => {
    const angle = (2 * Math.PI * k) / sides
    return { x: reach * Math.cos(angle), y: reach * Math.sin(angle) }
  })
}

const distance = (a: Point, b: Point) => Math.sqrt((a.x - b.x) ** 2 + (a.y - b.y) ** 2)

/** What is left of a convex polygon on the side of the bisector that is nearer to `near`. */
function cutByBisector(corners: readonly Point[], near: Point, other: Point): Point[] {
  const middle = { x: (near.x + other.x) / 2, y: (near.y + other.y) / 2 }
  const beyond = (corner: Point) =>
    (corner.x - middle.x) * (other.x - near.x) + (corner.y - middle.y) * (other.y - near.y)
  return corners.flatMap((corner, i) => {
    const next = corners[(i + 1) % corners.length] as Point
    const here = beyond(corner)
    const there = beyond(next)
    const kept = here <= 0 ? [corner] : []
    if (here <= 0 === there <= 0) return kept
    const t = here / (here - there)
    return [...kept, { x: corner.x + t * (next.x - corner.x), y: corner.y + t * (next.y - corner.y) }]
  })
}

function areaOf(corners: readonly Point[]): number {
  const twice = corners.map((corner, i) => {
    const next = corners[(i + 1) % corners.length] as Point
    return corner.x * next.y - corner.y * next.x
  })
  return twice.reduce((sum, part) => sum + part, 0) / 2
}

/** Area that a polygon, corners counter-clockwise, has in common with a disc around the origin. */
function areaWithinDisc(corners: readonly Point[], radius: number): number {
  return corners.reduce(
    (area, corner, i) => area + fanWithinDisc(corner, corners[(i + 1) % corners.length] as Point, radius),
    0,
  )
}

/**
 * Signed area that the triangle of origin, `a` and `b` has in common with the disc: triangle where the edge
 * runs inside the disc, sector where it runs outside.
 */
function fanWithinDisc(a: Point, b: Point, radius: number): number {
  const sector = (p: Point, q: Point) =>
    (radius ** 2 / 2) * Math.atan2(p.x * q.y - p.y * q.x, p.x * q.x + p.y * q.y)
  const triangle = (p: Point, q: Point) => (p.x * q.y - p.y * q.x) / 2
  const along = { x: b.x - a.x, y: b.y - a.y }
  const length2 = along.x ** 2 + along.y ** 2
  if (length2 === 0) return 0
  const half = a.x * along.x + a.y * along.y
  const root = half ** 2 - length2 * (a.x ** 2 + a.y ** 2 - radius ** 2)
  if (root <= 0) return sector(a, b)
  // b itself at t = 1: next to the origin, the last bit of a + (b − a) would make an angle.
  const at = (t: number): Point => (t === 1 ? b : { x: a.x + t * along.x, y: a.y + t * along.y })
  const enters = Math.min(1, Math.max(0, (-half - Math.sqrt(root)) / length2))
  const leaves = Math.min(1, Math.max(0, (-half + Math.sqrt(root)) / length2))
  return sector(a, at(enters)) + triangle(at(enters), at(leaves)) + sector(at(leaves), b)
}
