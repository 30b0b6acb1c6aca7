import { compiled, igam, igamc, igami, incbet, incbi, lgam, ndtr, ndtri } from 'cephes'

export { noncentralFCdf, noncentralTCdf } from './noncentral.ts'

/**
 * Distribution functions over the Cephes library (S. L. Moshier, Methods and Programs for Mathematical
 * Functions, 1989). Degrees of freedom may be fractional: everything goes through the incomplete beta and
 * gamma functions. Small tails are computed as such, never as 1 − cdf. Relative errors are below 1e-12 up to a
 * thousand degrees of freedom, 1e-10 at a hundred thousand, 1e-9 at a million.
 */

/** Resolves once the special functions can be called; until then they give nonsense. */
export const distributionsReady: Promise<void> = compiled

/** P(Z ≤ z) for a standard normal Z. */
export function normalCdf(z: number): number {
  return ndtr(z)
}

/** The z with P(Z ≤ z) = p. */
export function normalQuantile(p: number): number {
  return ndtri(p)
}

/** P(T > t) for Student's t with `df` degrees of freedom. */
export function tUpper(t: number, df: number): number {
  if (t < 0) return 1 - tUpper(-t, df)
  if (t === Number.POSITIVE_INFINITY) return 0
  const square = t * t
  return square < df
    ? 0.5 - 0.5 * incbet(0.5, df / 2, square / (df + square))
    : 0.5 * incbet(df / 2, 0.5, df / (df + square))
}

/** P(T ≤ t) for Student's t with `df` degrees of freedom. */
export function tCdf(t: number, df: number): number {
  return tUpper(-t, df)
}

/** P(|T| ≥ |t|): the p value of a t test against both sides. */
export function tTwoSided(t: number, df: number): number {
  return 2 * tUpper(Math.abs(t), df)
}

/** The t with P(T ≤ t) = p. */
export function tQuantile(p: number, df: number): number {
  if (p > 0.5) return -tQuantile(1 - p, df)
  if (p === 0.5) return 0
  if (p <= 0) return Number.NEGATIVE_INFINITY
  if (p > 0.25) {
    const share = incbi(0.5, df / 2, 1 - 2 * p)
    return -Math.sqrt((df * share) / (1 - share))
  }
  const share = incbi(df / 2, 0.5, 2 * p)
  return -Math.sqrt((df * (1 - share)) / share)
}

/** P(F ≤ f) for Fisher's F with `df1` and `df2` degrees of freedom. */
export function fCdf(f: number, df1: number, df2: number): number {
  if (f <= 0) return 0
  if (f === Number.POSITIVE_INFINITY) return 1
  return incbet(df1 / 2, df2 / 2, (df1 * f) / (df1 * f + df2))
}

/** P(F > f): the p value of an F test. */
export function fUpper(f: number, df1: number, df2: number): number {
  if (f <= 0) return 1
  if (f === Number.POSITIVE_INFINITY) return 0
  return incbet(df2 / 2, df1 / 2, df2 / (df1 * f + df2))
}

/** The f with P(F ≤ f) = p. */
export function fQuantile(p: number, df1: number, df2: number): number {
  if (p <= 0) return 0
  if (p >= 1) return Number.POSITIVE_INFINITY
  if (p > 0.5) {
    const share = incbi(df2 / 2, df1 / 2, 1 - p)
    return (df2 * (1 - share)) / (df1 * share)
  }
  const share = incbi(df1 / 2, df2 / 2, p)
  return (df2 * share) / (df1 * (1 - share))
}

/** P(X > x) for χ² with `df` degrees of freedom. */
export function chiSquareUpper(x: number, df: number): number {
  if (x <= 0) return 1
  const [a, half] = [df / 2, x / 2]
  // Cephes takes an underflow for an error.
  if (a * Math.log(half) - half - lgam(a) < -700) return half > a ? 0 : 1
  return igamc(a, half)
}

/** P(X ≤ x) for χ² with `df` degrees of freedom. */
export function chiSquareCdf(x: number, df: number): number {
  return x <= 0 ? 0 : igam(df / 2, x / 2)
}

/** The x with P(X ≤ x) = p. */
export function chiSquareQuantile(p: number, df: number): number {
  if (p <= 0) return 0
  if (p >= 1) return Number.POSITIVE_INFINITY
  const half = igami(df / 2, 1 - p)
  if (p > 0.25) return 2 * half
  // From the upper tail a small p has lost its digits: one Newton step on the lower one.
  const density = Math.exp((df / 2 - 1) * Math.log(half) - half - lgam(df / 2))
  return 2 * (half - (igam(df / 2, half) - p) / density)
}
