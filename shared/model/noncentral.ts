import { incbet, lgam, ndtr } from 'cephes'

/** Where the next term of a series of falling terms no longer changes a sum near 1. */
const negligible = 1e-17

/**
 * Σ over j ≥ 0 of the terms, begun at the largest and followed down both ways.
 *
 * @param from index at or near the largest term
 */
function sumFromTheMiddle(term: (j: number) => number, from: number): number {
  let sum = 0
  for (let j = from; j >= 0; j--) {
    const value = term(j)
    sum += value
    if (Math.abs(value) < negligible && j < from) break
  }
  for (let j = from + 1; ; j++) {
    const value = term(j)
    sum += value
    if (Math.abs(value) < negligible) return sum
  }
}

/** half^j · e^−half / Γ(j + shift), also where half is 0. */
function poissonWeight(half: number, j: number, shift: number): number {
  if (half === 0) return j === 0 ? 1 / Math.exp(lgam(shift)) : 0
  return Math.exp(j * Math.log(half) - half - lgam(j + shift))
}

/**
 * P(T ≤ t) for the non-central t with `df` degrees of freedom and non-centrality `delta`, as the series of
 * Lenth (algorithm AS 243, Applied Statistics 38, 1989) on the incomplete beta function.
 */
export function noncentralTCdf(t: number, df: number, delta: number): number {
  if (t < 0) return 1 - noncentralTCdf(-t, df, -delta)
  const x = (t * t) / (t * t + df)
  const half = (delta * delta) / 2
  const term = (j: number) =>
    poissonWeight(half, j, 1) * incbet(j + 0.5, df / 2, x) +
    (delta / Math.SQRT2) * poissonWeight(half, j, 1.5) * incbet(j + 1, df / 2, x)
  const value = ndtr(-delta) + 0.5 * sumFromTheMiddle(term, Math.floor(half))
  return Math.min(1, Math.max(0, value))
}

/**
 * P(F ≤ f) for the non-central F with `df1` and `df2` degrees of freedom and non-centrality `lambda`, as a
 * Poisson mixture of incomplete beta functions (Johnson, Kotz & Balakrishnan, Continuous Univariate
 * Distributions 2, 1995, chapter 30).
 */
export function noncentralFCdf(f: number, df1: number, df2: number, lambda: number): number {
  if (f <= 0) return 0
  const x = (df1 * f) / (df1 * f + df2)
  const half = lambda / 2
  const term = (j: number) => poissonWeight(half, j, 1) * incbet(df1 / 2 + j, df2 / 2, x)
  return Math.min(1, sumFromTheMiddle(term, Math.floor(half)))
}
