import { seeded } from '../random.ts'
import { type Axis, apart, type Place, placeKey } from './region.ts'

/** A place with its score; the higher the better. */
export type Scored = { place: Place; score: number }

/** How many places the first look takes at most. */
const mostPlaces = 4096
/** How many lines along one axis are walked to their best setting. */
const mostLines = 1000
/** How many places are refined in all directions, and how far apart they lie at least, as a share of the region. */
const starts = 24
const startsApart = 0.08
/** A walk goes on with the same stride only while a step gains this share of the score: ridges are long and nearly level. */
const leastGain = 1e-4

/** Where every search of a region begins: the same places for all that is looked for there. */
export type Grid = {
  places: readonly Place[]
  /** Grid points of a continuous axis; null where the places are random ones. */
  count: number | null
  keyOf(place: Place): number | string
  /** Index of a place of the grid. */
  indexOf(key: number | string): number | undefined
}

/**
 * A grid over the region; a region of so many factors that no grid fits is looked at in random places instead.
 * Deterministic for a seed.
 *
 * @param options.marks settings by axis that stand on the grid whatever its spacing, such as tested ones
 */
export function gridOf(options: {
  axes: readonly Axis[]
  seed: number
  marks: readonly (readonly number[])[]
}): Grid {
  const { axes, seed, marks } = options
  const count = pointsAnAxis(axes)
  const all = count === null ? randomPlaces(axes, seed) : gridPlaces(axes, count, marks)
  const keyOf = placeKey(axes)
  const places = [...new Map(all.map((place) => [keyOf(place), place])).values()]
  const indices = new Map(places.map((place, i) => [keyOf(place), i]))
  return { places, count, keyOf, indexOf: (key) => indices.get(key) }
}

/**
 * Looks for the places with the highest score: those of a grid, then from the best of them that lie apart a walk along
 * the axes and their diagonals with halving steps, down to single settings.
 *
 * @param options.bound what no score of a place exceeds, where that is quicker to tell: a walk does not ask for a score that
 *   cannot be better than where it stands
 * @param options.along an axis along which the best setting is looked for at every place of the grid of the
 *   others too, so that a ridge across the region comes out whole
 * @returns the places of the grid and the ends of the walks, each once, best first
 */
export function search(options: {
  axes: readonly Axis[]
  grid: Grid
  score: (place: Place) => number
  bound?: (place: Place) => number
  along?: number
}): Scored[] {
  const { axes, grid, score, bound } = options
  const scored = (place: Place): Scored => ({ place, score: score(place) })
  const first = grid.places.map(scored)
  const walked = new Map<number | string, Scored>()
  const look = (place: Place, here: Scored): Scored => {
    const key = grid.keyOf(place)
    const index = grid.indexOf(key)
    const known = index === undefined ? walked.get(key) : first[index]
    if (known) return known
    if (bound && bound(place) <= here.score) return here
    const found = scored(place)
    walked.set(key, found)
    return found
  }
  const count = grid.count ?? 4
  const moving = axes.flatMap((axis, i) => (axis.factor.kind === 'continuous' && axis.size > 1 ? [i] : []))
  const best = sorted(first)
  const lines = options.along === undefined ? [] : bestOfLines(best, options.along).slice(0, mostLines)
  const walks = [
    ...lines.map((start) => climb(axes, start, look, count, [options.along as number])),
    ...apartFrom(axes, best, starts, startsApart).map((start) => climb(axes, start, look, count, moving)),
  ]
  return sorted([...new Set([...first, ...walks])])
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

function gridPlaces(axes: readonly Axis[], count: number, marks: readonly (readonly number[])[]): Place[] {
  const indices = axes.map((axis, i) => {
    if (axis.factor.kind === 'categorical' || axis.size <= count)
      return Array.from({ length: axis.size }, (_, i) => i)
    const even = Array.from({ length: count }, (_, k) => axis.nearest(k / (count - 1)))
    return [...new Set([...even, ...(marks[i] ?? [])])]
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

/** The best place of each line along an axis, of places that come best first. */
function bestOfLines(best: readonly Scored[], along: number): Scored[] {
  const lines = new Map<string, Scored>()
  for (const scored of best) {
    const line = scored.place.filter((_, i) => i !== along).join(' ')
    if (!lines.has(line)) lines.set(line, scored)
  }
  return [...lines.values()]
}

function climb(
  axes: readonly Axis[],
  start: Scored,
  look: (place: Place, here: Scored) => Scored,
  count: number,
  moving: readonly number[],
): Scored {
  const ways = directions(moving)
  let here = start
  let strides = axes.map((axis) => Math.max(1, Math.ceil(axis.size / count)))
  for (;;) {
    const tried = ways.map((direction) =>
      look(
        here.place.map((index, i) => {
          const size = axes[i]?.size ?? 1
          return Math.min(size - 1, Math.max(0, index + (direction[i] ?? 0) * (strides[i] ?? 1)))
        }),
        here,
      ),
    )
    const best = tried.reduce((a, b) => (b.score > a.score ? b : a), here)
    const gain = best.score - here.score
    if (gain > 0) here = best
    if (gain > leastGain * Math.abs(here.score)) continue
    if (strides.every((stride) => stride === 1)) return here
    strides = strides.map((stride) => Math.ceil(stride / 2))
  }
}

/** Steps along each moving axis, and along the diagonals of two. */
function directions(moving: readonly number[]): Record<number, number>[] {
  const result: Record<number, number>[] = moving.flatMap((i) => [{ [i]: 1 }, { [i]: -1 }])
  for (const [a, i] of moving.entries())
    for (const j of moving.slice(a + 1))
      for (const s of [-1, 1]) for (const t of [-1, 1]) result.push({ [i]: s, [j]: t })
  return result
}
