import { fQuantile, noncentralFCdf, noncentralTCdf, tQuantile } from '../model/distributions.ts'

/**
 * The power of a two-sided t test at the given level when the estimate's mean is `delta` standard errors off.
 *
 * @param df degrees of freedom of the error, above 0
 */
export function powerOfT(delta: number, df: number, alpha = 0.05): number {
  const critical = tQuantile(1 - alpha / 2, df)
  return 1 - noncentralTCdf(critical, df, delta) + noncentralTCdf(-critical, df, delta)
}

/** The power of an F test at the given level at the non-centrality `lambda`. */
export function powerOfF(lambda: number, df1: number, df2: number, alpha = 0.05): number {
  return 1 - noncentralFCdf(fQuantile(1 - alpha, df1, df2), df1, df2, lambda)
}

/** An effect of more standard errors is none that anyone plans to see; it takes a third of a degree of freedom or less. */
const mostShift = 1000

/**
 * The effect, in standard errors, that a two-sided t test finds with the given power; null without degrees of
 * freedom for error, or with so few that it would be beyond all measure.
 */
export function detectableShift(power: number, df: number, alpha = 0.05): number | null {
  return df > 0 ? rootOf((shift) => powerOfT(shift, df, alpha), power, alpha, mostShift) : null
}

/** The non-centrality at which an F test has the given power; null without degrees of freedom for error. */
export function detectableNoncentrality(
  power: number,
  df1: number,
  df2: number,
  alpha = 0.05,
): number | null {
  return df2 > 0 ? rootOf((lambda) => powerOfF(lambda, df1, df2, alpha), power, alpha, mostShift ** 2) : null
}

/** The power rises with the effect from alpha at none, so the root is bracketed and halved. */
function rootOf(
  powerAt: (effect: number) => number,
  power: number,
  alpha: number,
  most: number,
): number | null {
  if (power <= alpha) return 0
  let low = 0
  let high = 2
  while (powerAt(high) < power) {
    low = high
    high *= 2
    if (high > most) return null
  }
  let below = powerAt(low) - power
  let above = powerAt(high) - power
  while (high - low > 1e-10 * high) {
    // By turns where the chord meets the power and in the middle, so that the bracket closes either way.
    for (const at of [(low * above - high * below) / (above - below), (low + high) / 2]) {
      if (!(at > low && at < high)) continue
      const value = powerAt(at) - power
      if (value < 0) [low, below] = [at, value]
      else [high, above] = [at, value]
      if (Math.abs(value) < 1e-13) return at
    }
  }
  return (low + high) / 2
}
