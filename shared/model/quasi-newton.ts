import { inner, times } from './symmetric.ts'

/** A function to maximize, with its slopes; null where it has no value. */
export type Hill = (at: Float64Array) => { value: number; slopes: Float64Array } | null

const mostSteps = 300

/**
 * The top of a hill within bounds, by the quasi-Newton method of Broyden, Fletcher, Goldfarb & Shanno with steps cut
 * off at the bounds (Nocedal & Wright, Numerical Optimization, 2006, chapters 6 and 16).
 *
 * @param options.steep a slope below this, times the size of the value, is none
 * @returns null where the start has no value
 */
export function climbHill(
  hill: Hill,
  start: Float64Array,
  options: { low: Float64Array; high: Float64Array; steep: number },
): { at: Float64Array; value: number } | null {
  const { low, high, steep } = options
  const n = start.length
  let at = start
  let here = hill(at)
  if (!here) return null
  let inverse = identity(n)
  for (let step = 0; step < mostSteps; step++) {
    const free = here.slopes.map((slope, i) =>
      (slope > 0 ? at[i]! < high[i]! : at[i]! > low[i]!) ? slope : 0,
    )
    if (Math.max(...free.map(Math.abs)) <= steep * Math.max(1, Math.abs(here.value))) break
    let move = times(inverse, n, free).map((value, i) => (free[i] === 0 ? 0 : value))
    if (!(inner(move, free) > 0)) {
      inverse = identity(n)
      move = free
    }
    // Parameters are logarithms: a step of more than a factor of e⁴ leads nowhere.
    const longest = Math.max(...move.map(Math.abs))
    const first = longest > 4 ? 4 / longest : 1
    const next = uphill(hill, at, here.value, { move, free, first, low, high })
    if (!next) {
      if (isIdentity(inverse, n)) break
      inverse = identity(n)
      continue
    }
    inverse = updated(
      inverse,
      next.at.map((value, i) => value - at[i]!),
      here.slopes.map((slope, i) => slope - next.slopes[i]!),
    )
    at = next.at
    here = next
  }
  return { at, value: here.value }
}

function uphill(
  hill: Hill,
  at: Float64Array,
  value: number,
  options: { move: Float64Array; free: Float64Array; first: number; low: Float64Array; high: Float64Array },
) {
  const { move, free, first, low, high } = options
  for (let length = first; length > 1e-9 * first; length /= 3) {
    const next = at.map((x, i) => Math.min(high[i]!, Math.max(low[i]!, x + length * move[i]!)))
    const gain = inner(
      next.map((x, i) => x - at[i]!),
      free,
    )
    const there = hill(next)
    if (there && there.value > value && there.value >= value + 1e-4 * gain) return { at: next, ...there }
  }
  return null
}

function identity(n: number): Float64Array {
  return Float64Array.from({ length: n * n }, (_, at) => (at % (n + 1) === 0 ? 1 : 0))
}

function isIdentity(matrix: Float64Array, n: number): boolean {
  return identity(n).every((value, at) => value === matrix[at])
}

/** The inverse of the curvature after a step s, along which the slopes fell by y. */
function updated(inverse: Float64Array, s: Float64Array, y: Float64Array): Float64Array {
  const n = s.length
  const sy = inner(s, y)
  if (!(sy > 1e-12 * Math.sqrt(inner(s, s) * inner(y, y)))) return inverse
  const start = isIdentity(inverse, n) ? inverse.map((value) => (value * sy) / inner(y, y)) : inverse
  const turned = times(start, n, y)
  const stretch = 1 + inner(y, turned) / sy
  return start.map((value, at) => {
    const [i, j] = [at % n, Math.floor(at / n)]
    return value + (stretch * s[i]! * s[j]! - turned[i]! * s[j]! - s[i]! * turned[j]!) / sy
  })
}
