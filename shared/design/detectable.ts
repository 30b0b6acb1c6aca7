import { noncentralTCdf, tQuantile } from '../model/distributions.ts'

/**
 * The power of a two-sided t test at the given level when the estimate's mean is `delta` standard errors off.
 *
 * @param df degrees of freedom of the error, above 0
 */
export function powerOfT(delta: number, df: number, alpha = 0.05): number {
  const critical = tQuantile(1 - alpha / 2, df)
  return 1 - noncentralTCdf(critical, df, delta) + noncentralTCdf(-critical, df, delta)
}

/**
 * The effect, in standard errors, that a two-sided t test finds with the given power; null without degrees of
 * freedom for error. The power rises with the effect from alpha at none, so the root is bracketed and halved.
 */
export function detectableShift(power: number, df: number, alpha = 0.05): number | null {
  if (!(df > 0)) return null
  if (power <= alpha) return 0
  let low = 0
  let high = 2
  while (powerOfT(high, df, alpha) < power) {
    low = high
    high *= 2
    if (high > 1e6) return null
  }
  while (high - low > 1e-10 * high) {
    const middle = (low + high) / 2
    if (powerOfT(middle, df, alpha) < power) low = middle
    else high = middle
  }
  return (low + high) / 2
}
