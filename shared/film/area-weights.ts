import { largest } from '../extremes.ts'
import { centreLine } from './centre-line.ts'
import { nearestAreaShares } from './nearest-area.ts'
import { keptForSameMap } from './same-map.ts'
import type { MeasuredArea } from './substrate.ts'

type Position = { x: number; y: number }
type Ring = { radius: number; members: number[] }

/** Positions closer than this share of the outermost radius are the same place. */
const samePlace = 1e-4
/** How far sites of one ring may be from it, as a share of the outermost radius, and from their angle, in degrees. */
const ringRadiusTolerance = 0.005
const ringAngleTolerance = 1

/**
 * Weights that turn readings by site into a mean over the area; they sum to 1, and readings at one place share
 * its weight.
 *
 * On a disc a map of complete rings (a centre site and circles of three or more evenly spaced sites) is weighted by
 * rings, bounded halfway between them and by the outermost one. So are sites on a line through the centre, complete or
 * not: what is spun goes by the distance from the centre, and each pair of sites stands for the ring through it. Any
 * other map, and every map of a rectangle, is weighted by the share of the area that is nearest to each site.
 *
 * @param area what of the substrate is measured; in the unit of the positions
 */
export const areaWeights = keptForSameMap((positions, area: MeasuredArea): readonly number[] => {
  const outermost = largest(positions.map(radiusOf))
  if (outermost === 0) return positions.map(() => 1 / positions.length)
  const places: Position[] = []
  const placeOf = positions.map((position) => {
    const found = places.findIndex((place) => distance(place, position) <= samePlace * outermost)
    return found >= 0 ? found : places.push(position) - 1
  })
  const weights =
    ('radius' in area ? ringWeights(places, outermost) : null) ?? nearestAreaShares(places, area)
  const sharing = places.map(() => 0)
  for (const place of placeOf) sharing[place] = (sharing[place] as number) + 1
  return placeOf.map((place) => (weights[place] as number) / (sharing[place] as number))
})

/** Weight of each place where the places are complete rings or lie on a line through the centre, else null. */
function ringWeights(places: readonly Position[], outermost: number): number[] | null {
  const rings = ringsOf(places, ringRadiusTolerance * outermost)
  if (!areComplete(rings, places, outermost) && centreLine(places) === null) return null
  const last = rings.length - 1
  const isRegular = rings.every(
    ({ radius }, i) => Math.abs(radius / outermost - i / last) <= ringRadiusTolerance,
  )
  // Coordinates come rounded: a ring that is meant to stand at iR/m is taken to stand there.
  const radii = rings.map(({ radius }, i) => (isRegular ? i / last : radius / outermost))
  const boundary = (i: number) =>
    i === 0 ? 0 : i > last ? 1 : ((radii[i - 1] as number) + (radii[i] as number)) / 2
  const weights = places.map(() => 0)
  rings.forEach(({ members }, i) => {
    const share = boundary(i + 1) ** 2 - boundary(i) ** 2
    for (const member of members) weights[member] = share / members.length
  })
  return weights
}

function areComplete(
  [centre, ...circles]: readonly Ring[],
  places: readonly Position[],
  outermost: number,
): boolean {
  if (centre?.members.length !== 1 || centre.radius > ringRadiusTolerance * outermost) return false
  return circles.length > 0 && circles.every((circle) => isEvenlySpaced(circle.members, places))
}

/** Places of (nearly) equal radius, from the centre outwards. */
function ringsOf(places: readonly Position[], tolerance: number): Ring[] {
  const byRadius = places
    .map((place, member) => ({ member, radius: radiusOf(place) }))
    .sort((a, b) => a.radius - b.radius)
  const groups: (typeof byRadius)[] = []
  for (const entry of byRadius) {
    const group = groups.at(-1)
    if (group?.[0] && entry.radius - group[0].radius <= tolerance) group.push(entry)
    else groups.push([entry])
  }
  return groups.map((group) => ({
    radius: group.reduce((sum, entry) => sum + entry.radius, 0) / group.length,
    members: group.map((entry) => entry.member),
  }))
}

function isEvenlySpaced(members: readonly number[], places: readonly Position[]): boolean {
  if (members.length < 3) return false
  const angles = members
    .map((member) => places[member] as Position)
    .map((place) => (Math.atan2(place.y, place.x) * 180) / Math.PI)
    .sort((a, b) => a - b)
  const step = 360 / angles.length
  return angles.every((angle, i) => Math.abs(angle - (angles[0] as number) - i * step) <= ringAngleTolerance)
}

const radiusOf = (position: Position) => Math.hypot(position.x, position.y)
const distance = (a: Position, b: Position) => Math.hypot(a.x - b.x, a.y - b.y)
