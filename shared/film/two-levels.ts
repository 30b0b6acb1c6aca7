/** Points of a trace on two levels, in order of position (µm, nm); `inside` is 1 on the one level, 0 on the other. */
export type TwoLevels = { x: Float64Array; z: Float64Array; inside: Uint8Array }

/** Which of the points count, by their weights; all of them alike where there are none. */
type Weights = Float64Array | Uint8Array

/**
 * Two levels with one form in common: height = level + slope·(x − at) + bow·(x − at)².
 * `inside` and `outside` are the levels at `at`; the bow is 0 unless it was asked for.
 */
export type Levels = {
  at: number
  slope: number
  bow: number
  inside: number
  outside: number
  step: number
  /** Variance of the step in units of the variance of one height, were the heights independent. */
  varianceFactor: number
  /** The same of the bow; 0 where there is none. */
  bowVarianceFactor: number
  /** Of every point, also of those without weight. */
  residuals: Float64Array
}

/**
 * Least squares of two parallel lines, or of two parabolas that differ by their level alone. Solved through the sums
 * within the two groups (analysis of covariance), which is the same least squares.
 *
 * @param options.bow whether a common parabola takes the place of the common slope
 * @param options.weights by point; with 0 and 1 it is the least squares of those that have 1
 */
export function fitLevels(points: TwoLevels, options: { bow?: boolean; weights?: Weights } = {}): Levels {
  const { x, z, inside } = points
  const weights = options.weights
  const n = x.length
  const at = ((x[0] ?? 0) + (x[n - 1] ?? 0)) / 2
  const reach = ((x[n - 1] ?? 0) - (x[0] ?? 0)) / 2 || 1
  const [a, b] = [groupSums(), groupSums()]
  for (let i = 0; i < n; i++) {
    const w = weights === undefined ? 1 : (weights[i] as number)
    if (w === 0) continue
    const group = inside[i] === 1 ? a : b
    const u = ((x[i] as number) - at) / reach
    group.w += w
    group.u += w * u
    group.q += w * u * u
    group.z += w * (z[i] as number)
  }
  for (const group of [a, b])
    for (const key of ['u', 'q', 'z'] as const) group[key] = group.w > 0 ? group[key] / group.w : 0

  let [uu, uq, qq, uz, qz] = [0, 0, 0, 0, 0]
  for (let i = 0; i < n; i++) {
    const w = weights === undefined ? 1 : (weights[i] as number)
    if (w === 0) continue
    const group = inside[i] === 1 ? a : b
    const u = ((x[i] as number) - at) / reach
    const [du, dq, dz] = [u - group.u, u * u - group.q, (z[i] as number) - group.z]
    uu += w * du * du
    uq += w * du * dq
    qq += w * dq * dq
    uz += w * du * dz
    qz += w * dq * dz
  }
  const determinant = uu * qq - uq * uq
  const bowed = options.bow === true && determinant > 1e-12 * uu * qq
  const inverse = bowed
    ? [qq / determinant, -uq / determinant, uu / determinant]
    : [uu > 0 ? 1 / uu : 0, 0, 0]
  const [i11, i12, i22] = inverse as [number, number, number]
  const beta = i11 * uz + i12 * qz
  const gamma = i12 * uz + i22 * qz
  const [du, dq] = [a.u - b.u, a.q - b.q]
  const levelOf = (group: Sums) => group.z - beta * group.u - gamma * group.q
  const [levelInside, levelOutside] = [levelOf(a), levelOf(b)]
  const residuals = new Float64Array(n)
  for (let i = 0; i < n; i++) {
    const u = ((x[i] as number) - at) / reach
    residuals[i] =
      (z[i] as number) - (inside[i] === 1 ? levelInside : levelOutside) - beta * u - gamma * u * u
  }
  return {
    at,
    slope: beta / reach,
    bow: gamma / reach ** 2,
    inside: levelInside,
    outside: levelOutside,
    step: a.z - b.z - beta * du - gamma * dq,
    varianceFactor: 1 / a.w + 1 / b.w + i11 * du * du + 2 * i12 * du * dq + i22 * dq * dq,
    bowVarianceFactor: i22 / reach ** 4,
    residuals,
  }
}

type Sums = { w: number; u: number; q: number; z: number }
const groupSums = (): Sums => ({ w: 0, u: 0, q: 0, z: 0 })

/** A point that lies further than this many robust standard deviations from its line is left out; chosen by us. */
const leaveOutBeyond = 4
/** Among fewer points nobody can say which one is a spike. */
const leastToJudge = 30
/** Scatter below this share of the heights' range is rounding and throws nothing out. */
const leastScatter = 1e-7

/**
 * The same, with spikes and debris left out: least absolute deviations first, which such points hardly draw, then
 * least squares of the points within four robust standard deviations (1.4826 × median absolute residual) of it, until
 * the same points stay. A trace without such points gives plain least squares.
 *
 * @returns the fit, and by point 1 where it was kept
 */
export function fitCleanLevels(
  points: TwoLevels,
  options: { bow?: boolean } = {},
): { fit: Levels; kept: Uint8Array; scatter: number } {
  const floor = leastScatter * rangeOf(points.z)
  let fit = fitLevels(points, options)
  const weights = new Float64Array(points.x.length).fill(1)
  if (weights.length < leastToJudge)
    return { fit, kept: Uint8Array.from(weights), scatter: Number.POSITIVE_INFINITY }
  for (let round = 0; round < 15; round++) {
    const near = Math.max(floor, 0.05 * robustScatter(fit.residuals)) || 1
    for (let i = 0; i < weights.length; i++)
      weights[i] = 1 / Math.max(near, Math.abs(fit.residuals[i] as number))
    fit = fitLevels(points, { ...options, weights })
  }
  let kept: Uint8Array = new Uint8Array(0)
  let scatter = 0
  for (let round = 0; round < 20; round++) {
    scatter = Math.max(floor, robustScatter(fit.residuals))
    const next = within(fit.residuals, scatter)
    if (round > 0 && next.every((keep, i) => keep === kept[i])) break
    kept = next
    fit = fitLevels(points, { ...options, weights: kept })
  }
  return { fit, kept, scatter }
}

/** By point 1 where the residual lies within what is kept. */
export function within(residuals: Float64Array, scatter: number): Uint8Array {
  const kept = new Uint8Array(residuals.length)
  for (let i = 0; i < kept.length; i++)
    kept[i] = Math.abs(residuals[i] as number) <= leaveOutBeyond * scatter ? 1 : 0
  return kept
}

/** 1.4826 × median of the absolute residuals: the standard deviation, where they are normal. */
function robustScatter(residuals: Float64Array): number {
  const sizes = residuals.map(Math.abs).sort()
  const middle = sizes.length / 2
  const median = ((sizes[Math.ceil(middle) - 1] ?? 0) + (sizes[Math.floor(middle)] ?? 0)) / 2
  return 1.4826 * median
}

function rangeOf(values: Float64Array): number {
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (const value of values) {
    low = Math.min(low, value)
    high = Math.max(high, value)
  }
  return high > low ? high - low : 0
}
