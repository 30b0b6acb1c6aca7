/** How a robust fit weighs a residual u, in units of the scale. */
export type RobustKind = 'huber' | 'bisquare'

/** 95 % efficient for normal errors (Huber, Robust Statistics, 1981; Beaton & Tukey, Technometrics 16, 1974). */
const tuning = { huber: 1.345, bisquare: 4.685 }

/** ψ(u)/u: 1 near the fit, less far from it; the bisquare's ends at 0. */
export function robustWeight(kind: RobustKind, u: number): number {
  const c = tuning[kind]
  if (kind === 'huber') return Math.abs(u) <= c ? 1 : c / Math.abs(u)
  return biweight(u / c)
}

/** ψ′(u). */
export function robustSlope(kind: RobustKind, u: number): number {
  const c = tuning[kind]
  if (kind === 'huber') return Math.abs(u) <= c ? 1 : 0
  const share = (u / c) ** 2
  return share >= 1 ? 0 : (1 - share) * (1 - 5 * share)
}

/** (1 − v²)² inside ±1, 0 outside. */
export function biweight(v: number): number {
  const share = v * v
  return share >= 1 ? 0 : (1 - share) ** 2
}

/** The bisquare's loss, from 0 at the fit to 1 outside ±1. */
export function bisquareLoss(v: number): number {
  const share = v * v
  return share >= 1 ? 1 : share * (3 + share * (share - 3))
}

/** Median of the absolute values over 0.6745, which for normal errors is their standard deviation. */
export function medianScale(residuals: Float64Array): number {
  const sizes = residuals.map(Math.abs).sort()
  const middle = sizes.length >> 1
  const median = sizes.length % 2 === 1 ? sizes[middle]! : (sizes[middle - 1]! + sizes[middle]!) / 2
  return median / 0.6745
}
