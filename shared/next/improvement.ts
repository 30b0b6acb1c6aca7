import { normalCdf } from '../model/distributions.ts'

/** Standard normal density. */
const density = (z: number) => Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI)

/** Nodes and weights of the Gauss–Legendre rule of 8 points on −1…+1, positive half. */
const legendre8: readonly (readonly [number, number])[] = [
  [0.1834346424956498, 0.362683783378362],
  [0.525532409916329, 0.3137066458778873],
  [0.7966664774136267, 0.2223810344533745],
  [0.9602898564975363, 0.1012285362903763],
]

/**
 * Expected improvement on the squared distance from a target: E max(a² − (y − target)², 0) for y normal,
 * where `a` is the smallest distance so far. In closed form; where the standard deviation is much larger
 * than `a` that form cancels, and the same integral is taken by Gauss–Legendre over −a…+a instead.
 * With noisy readings `a` is the smallest *predicted* distance among settings that were run, and the
 * standard deviation is that of the mean (after Huang, Allen, Notz & Zeng, J. Global Optim. 34, 2006).
 *
 * @param options.distance smallest distance from the target so far, `a` ≥ 0
 * @returns in the unit of y, squared
 */
export function targetImprovement(options: {
  target: number
  distance: number
  mean: number
  standardDeviation: number
}): number {
  const { distance: a, standardDeviation: s } = options
  // Even in the deviation; taken positive, both bounds lie in the lower tail, where the normal is exact.
  const d = Math.abs(options.mean - options.target)
  if (a <= 0) return 0
  if (s === 0) return Math.max(a * a - d * d, 0)
  if (a < 0.2 * s) {
    let sum = 0
    for (const [node, weight] of legendre8)
      for (const u of [-a * node, a * node]) sum += weight * (a * a - u * u) * density((u - d) / s)
    return (sum * a) / s
  }
  const z1 = (-a - d) / s
  const z2 = (a - d) / s
  const inside = normalCdf(z2) - normalCdf(z1)
  const value =
    (a * a - d * d - s * s) * inside -
    2 * d * s * (density(z1) - density(z2)) -
    s * s * (z1 * density(z1) - z2 * density(z2))
  return Math.max(value, 0)
}
