/**
 * A curve over one setting on the model's scale: estimate, and its variance; null where it has no value. With the
 * variance of a new run in it, the interval is that of the settings at which one run may read the level.
 */
export type Along = (x: number) => { estimate: number; variance: number } | null

/** Where a curve reaches a value, and the interval of settings that the data do not contradict. */
export type Reached = { value: number; lower: number | null; upper: number | null }

/** Widest search for an end, as a multiple of the tested range. */
const farthest = 1000
/** First step of a search, as a part of the tested range. */
const rootSteps = 100
const endSteps = 400

/**
 * The setting at which a curve reaches `level`, nearest to the middle of the tested range, with the interval
 * of settings whose |estimate − level| stays within `reach` standard deviations (E. C. Fieller, Journal of the
 * Royal Statistical Society B 16, 1954; Draper & Smith, Applied Regression Analysis, inverse regression). An end
 * without a bound is null.
 *
 * @param options.tested lowest and highest setting of the data
 * @param options.positive whether the curve lives on positive settings only, which are then searched by ratios
 * @param options.reach t quantile times the unit of the variance's root, as the residual standard deviation
 * @returns null where the curve does not reach the level
 */
export function whereReached(curve: Along, options: Level & { reach: number }): Reached | null {
  const { level, tested, positive, reach } = options
  const { to, from, span } = scaleOf({ tested, positive })
  const value = settingReached((x) => curve(x)?.estimate ?? null, options)
  if (value === null) return null
  const beyond = (u: number) => {
    const point = curve(from(u))
    if (point === null) return Number.NaN
    return Math.abs(point.estimate - level) - reach * Math.sqrt(point.variance)
  }
  const end = (direction: number) => {
    const u = firstCrossing(beyond, to(value), (direction * span) / endSteps, farthest * span)
    return u === null ? null : from(u)
  }
  return { value, lower: end(-1), upper: end(1) }
}

/** What a curve is to reach, and between which settings it was seen. */
type Level = { level: number; tested: readonly [number, number]; positive: boolean }

/** The setting of {@link whereReached} alone, which takes a part of the time. */
export function settingReached(
  estimate: (x: number) => number | null,
  { level, tested, positive }: Level,
): number | null {
  const { to, from, span } = scaleOf({ tested, positive })
  const above = (u: number) => {
    const value = estimate(from(u))
    return value === null ? Number.NaN : value - level
  }
  const root = nearestRoot(above, to(tested[0]), to(tested[1]), span)
  return root === null ? null : from(root)
}

/** How settings are searched: by ratios or by differences, and how far the tested ones span. */
function scaleOf({ tested, positive }: Pick<Level, 'tested' | 'positive'>) {
  const to = positive ? Math.log : (x: number) => x
  const from = positive ? Math.exp : (x: number) => x
  const [low, high] = [to(tested[0]), to(tested[1])]
  return { to, from, span: high > low ? high - low : Math.max(1, Math.abs(low)) }
}

/** The zero nearest to the middle of [low, high], looked for there first and then up to one span outside. */
function nearestRoot(f: (u: number) => number, low: number, high: number, span: number): number | null {
  const middle = (low + high) / 2
  const sides = [-1, 1].map((direction) =>
    firstCrossing(f, middle, (direction * span) / rootSteps, 1.5 * span, 1),
  )
  const roots = sides.filter((u) => u !== null)
  return roots.sort((a, b) => Math.abs(a - middle) - Math.abs(b - middle))[0] ?? null
}

/** Where `f` first changes sign on the way out from `start`, steps growing by `growth`; null if it does not. */
function firstCrossing(
  f: (u: number) => number,
  start: number,
  step: number,
  most: number,
  growth = 1.05,
): number | null {
  let [before, size] = [start, step]
  const first = f(start)
  if (first === 0) return start
  while (Math.abs(before + size - start) <= most * (1 + 1e-12)) {
    const next = before + size
    const value = f(next)
    if (Number.isNaN(value)) return null
    if (value === 0) return next
    if (value > 0 !== first > 0) return bisected(f, before, next)
    before = next
    size *= growth
  }
  return null
}

function bisected(f: (u: number) => number, from: number, to: number): number {
  let [a, b] = [from, to]
  const positive = f(a) > 0
  for (let i = 0; i < 200; i++) {
    const middle = (a + b) / 2
    if (middle === a || middle === b) break
    if (f(middle) > 0 === positive) a = middle
    else b = middle
  }
  return (a + b) / 2
}
