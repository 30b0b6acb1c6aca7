import { cholesky, solveSymmetric } from '../model/symmetric.ts'
import { type Tell, untold } from '../progress.ts'
import { seeded } from '../random.ts'
import { type Axis, apart, type Place, placeKey } from './region.ts'

/** A place with its score; the higher the better. */
export type Scored = { place: Place; score: number }

/** How many places the first look takes at most: with more the best one is as good (search.test.ts), and later. */
const usualPlaces = 2197
/** How many lines along one axis are walked to their best setting. */
const mostLines = 1000
/** How many places are refined in all directions, and how far apart they lie at least, as a share of the region. */
const starts = 4
const startsApart = 0.08
/** A walk goes on with the same stride only while a step gains this share of the score: ridges are long and nearly level. */
const leastGain = 1e-4
/** And this share on the last walk, from the best place of all. */
const leastGainAtLast = 1e-6
/** How many strides a walk may leap at once. */
const longestLeap = 8

/** What a search says that it counts. */
const searchSteps = 'steps of the search'

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
 * @param options.most how many places, at most, but for those that the marks add
 */
export function gridOf(options: {
  axes: readonly Axis[]
  seed: number
  marks: readonly (readonly number[])[]
  most?: number
}): Grid {
  const { axes, seed, marks, most = usualPlaces } = options
  const count = pointsAnAxis(axes, most)
  const all = count === null ? randomPlaces(axes, seed, most) : gridPlaces(axes, count, marks)
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
 * @param options.tell hears of the places of the grid, then of the walks, each half of the steps
 * @returns the places of the grid and the ends of the walks, each once, best first
 */
export function search(options: {
  axes: readonly Axis[]
  grid: Grid
  score: (place: Place) => number
  bound?: (place: Place) => number
  along?: number
  tell?: Tell
}): Scored[] {
  const { axes, grid, score, bound, tell = untold } = options
  const half = grid.places.length
  const scored = (place: Place): Scored => ({ place, score: score(place) })
  const first = grid.places.map((place, i) => {
    tell(searchSteps, i, 2 * half)
    return scored(place)
  })
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
  const peaks = apartFrom(axes, best, starts, startsApart)
  const ways = [
    ...lines.map((start) => ({ start, along: [options.along as number] })),
    ...peaks.map((start) => ({ start, along: moving })),
  ]
  const walks = ways.map(({ start, along }, i) => {
    tell(searchSteps, half + Math.floor((half * i) / ways.length), 2 * half)
    return climb(axes, start, look, count, along)
  })
  const [top] = sorted([...first.slice(0, 1), ...walks])
  if (top) walks.push(climb(axes, top, look, count, moving, leastGainAtLast))
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
function pointsAnAxis(axes: readonly Axis[], most: number): number | null {
  const continuous = axes.filter((axis) => axis.factor.kind === 'continuous' && axis.size > 1)
  const levels = axes
    .filter((axis) => axis.factor.kind === 'categorical')
    .reduce((product, axis) => product * axis.size, 1)
  if (continuous.length === 0) return levels <= most ? 1 : null
  const points = Math.floor((most / levels) ** (1 / continuous.length) + 1e-9)
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

function randomPlaces(axes: readonly Axis[], seed: number, most: number): Place[] {
  const random = seeded(seed)
  return Array.from({ length: most }, () =>
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
  least = leastGain,
): Scored {
  const ways = directions(moving)
  let here = start
  let strides = axes.map((axis) => Math.max(1, Math.ceil(axis.size / count)))
  for (;;) {
    const moved = (direction: Direction) =>
      here.place.map((index, i) => {
        const size = axes[i]?.size ?? 1
        return Math.min(size - 1, Math.max(0, index + Math.round((direction[i] ?? 0) * (strides[i] ?? 1))))
      })
    const tried = ways.map((direction) => look(moved(direction), here))
    const stepped = tried.reduce((a, b) => (b.score > a.score ? b : a), here)
    const leapt = look(moved(leap(here.score, moving, tried)), here)
    const best = leapt.score > stepped.score ? leapt : stepped
    const gain = best.score - here.score
    if (gain > 0) here = best
    if (gain > least * Math.abs(here.score)) continue
    if (strides.every((stride) => stride === 1)) return here
    strides = strides.map((stride) => Math.ceil(stride / 2))
  }
}

/** How far along each axis, in strides; 0 where none is named. */
type Direction = Record<number, number>

/** Steps along each moving axis, and along the diagonals of two. */
function directions(moving: readonly number[]): Direction[] {
  const result: Direction[] = moving.flatMap((i) => [{ [i]: -1 }, { [i]: 1 }])
  for (const [a, i] of moving.entries())
    for (const j of moving.slice(a + 1))
      for (const s of [-1, 1]) for (const t of [-1, 1]) result.push({ [i]: s, [j]: t })
  return result
}

/**
 * To the top of the quadratic through the scores around a place, in the order of {@link directions}: so a walk follows a
 * ridge that runs along no axis and no diagonal. Held back towards the steepest way where there is no top (Levenberg).
 */
function leap(here: number, moving: readonly number[], tried: readonly Scored[]): Direction {
  const n = moving.length
  const score = (i: number) => (tried[i] as Scored).score
  const slope = moving.map((_, k) => (score(2 * k + 1) - score(2 * k)) / 2)
  const bend = new Float64Array(n * n)
  let next = 2 * n
  for (let i = 0; i < n; i++) {
    bend[i + i * n] = 2 * here - score(2 * i) - score(2 * i + 1)
    for (let j = i + 1; j < n; j++, next += 4) {
      const across = (score(next + 1) + score(next + 2) - score(next) - score(next + 3)) / 4
      bend[i + j * n] = across
      bend[j + i * n] = across
    }
  }
  const size = bend.reduce((most, value) => Math.max(most, Math.abs(value)), 0)
  if (!(size > 0 && Number.isFinite(size))) return {}
  for (let held = 1e-6; ; held *= 10) {
    const matrix = bend.slice()
    for (let i = 0; i < n; i++) matrix[i + i * n] = (matrix[i + i * n] as number) + held * size
    const factor = cholesky(matrix, n)
    const step = factor && solveSymmetric(factor, n, slope)
    if (step?.every((length) => Math.abs(length) <= longestLeap))
      return Object.fromEntries(moving.map((axis, k) => [axis, step[k] as number]))
  }
}
