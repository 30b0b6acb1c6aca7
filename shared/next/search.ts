import { seeded } from '../random.ts'
import { type Axis, apart, type Place } from './region.ts'

/** A place with its score; the higher the better. */
export type Scored = { place: Place; score: number }

/** How many places the first look takes at most. */
const mostPlaces = 20_000
/** How many of them are refined, and how far apart they lie at least, as a share of the region. */
const starts = 24
const startsApart = 0.08

/**
 * Looks for the places with the highest score: a grid over the region, then from the best places that lie
 * apart a walk along the axes and their diagonals with halving steps, down to single settings. A region of so
 * many factors that no grid fits is looked at in random places instead. Deterministic for a seed.
 *
 * @returns the places of the grid and the ends of the walks, each once, best first
 */
export function search(options: {
  axes: readonly Axis[]
  score: (place: Place) => number
  seed: number
}): Scored[] {
  const { axes, score } = options
  const seen = new Map<string, Scored>()
  const look = (place: Place): Scored => {
    const key = place.join(' ')
    const known = seen.get(key)
    if (known) return known
    const scored = { place, score: score(place) }
    seen.set(key, scored)
    return scored
  }
  const count = pointsAnAxis(axes)
  const first = (count === null ? randomPlaces(axes, options.seed) : gridPlaces(axes, count)).map(look)
  const ends = apartFrom(axes, sorted(first), starts, startsApart).map((start) =>
    climb(axes, start, look, count ?? 4),
  )
  const kept = new Map([...first, ...ends].map((scored) => [scored.place.join(' '), scored]))
  return sorted([...kept.values()])
}

/** The best places that lie at least `distance` from each other, best first, at most `most`. */
export function apartFrom(
  axes: readonly Axis[],
  best: readonly Scored[],
  most: number,
  distance: number,
): Scored[] {
  const chosen: Scored[] = []
  for (const candidate of best) {
    if (chosen.length >= most) break
    if (chosen.every((other) => apart(axes, other.place, candidate.place) >= distance)) chosen.push(candidate)
  }
  return chosen
}

const sorted = (scored: Scored[]) => [...scored].sort((a, b) => b.score - a.score)

/** Grid points a continuous axis gets, or null where even three an axis are too many. */
function pointsAnAxis(axes: readonly Axis[]): number | null {
  const continuous = axes.filter((axis) => axis.factor.kind === 'continuous' && axis.size > 1)
  const levels = axes
    .filter((axis) => axis.factor.kind === 'categorical')
    .reduce((product, axis) => product * axis.size, 1)
  if (continuous.length === 0) return levels <= mostPlaces ? 1 : null
  const points = Math.floor((mostPlaces / levels) ** (1 / continuous.length) + 1e-9)
  return points < 3 ? null : Math.min(points, 201)
}

function gridPlaces(axes: readonly Axis[], count: number): Place[] {
  const indices = axes.map((axis) => {
    if (axis.factor.kind === 'categorical' || axis.size <= count)
      return Array.from({ length: axis.size }, (_, i) => i)
    return [...new Set(Array.from({ length: count }, (_, i) => axis.nearest(i / (count - 1))))]
  })
  return indices.reduce<Place[]>(
    (places, along) => places.flatMap((place) => along.map((index) => [...place, index])),
    [[]],
  )
}

function randomPlaces(axes: readonly Axis[], seed: number): Place[] {
  const random = seeded(seed)
  return Array.from({ length: mostPlaces }, () =>
    axes.map((axis) =>
      axis.factor.kind === 'categorical' ? random.below(axis.size) : axis.nearest(random.uniform()),
    ),
  )
}

function climb(axes: readonly Axis[], start: Scored, look: (place: Place) => Scored, count: number): Scored {
  let here = start
  const moving = axes.flatMap((axis, i) => (axis.factor.kind === 'continuous' && axis.size > 1 ? [i] : []))
  let strides = axes.map((axis) => Math.max(1, Math.ceil(axis.size / count)))
  for (;;) {
    const tried = directions(moving).map((direction) =>
      look(
        here.place.map((index, i) => {
          const size = axes[i]?.size ?? 1
          return Math.min(size - 1, Math.max(0, index + (direction[i] ?? 0) * (strides[i] ?? 1)))
        }),
      ),
    )
    const best = tried.reduce((a, b) => (b.score > a.score ? b : a), here)
    if (best.score > here.score) {
      here = best
      continue
    }
    if (strides.every((stride) => stride === 1)) return here
    strides = strides.map((stride) => Math.ceil(stride / 2))
  }
}

/** Steps along each moving axis, and along the diagonals of two. */
function directions(moving: number[]): Record<number, number>[] {
  const result: Record<number, number>[] = moving.flatMap((i) => [{ [i]: 1 }, { [i]: -1 }])
  for (const [a, i] of moving.entries())
    for (const j of moving.slice(a + 1))
      for (const s of [-1, 1]) for (const t of [-1, 1]) result.push({ [i]: s, [j]: t })
  return result
}
