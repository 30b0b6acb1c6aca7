import { chiSquareUpper, normalCdf, normalQuantile } from '../model/distributions.ts'

/**
 * The trapezoidal rule over the standardized mean: to all digits for some hundred degrees of freedom, within 0.5 % where
 * the standard deviation is as good as known and the function is a step.
 */
const step = 1 / 16
const nodes = 140
const halvings = 50

/**
 * How many standard deviations to either side of the mean hold the asked share of all runs with the asked confidence:
 * the exact factor for normal scatter, integrated over where the mean may lie (the two-sided factors for unknown mean
 * and standard deviation of ISO 16269-6; Odeh & Owen, Tables for Normal Tolerance Limits, 1980; from memory).
 *
 * @param n the mean varies as one of so many independent runs, not necessarily whole
 * @param df of the standard deviation
 */
export function toleranceFactor(n: number, df: number, share = 0.95, confidence = 0.95): number {
  const points = Array.from({ length: nodes }, (_, i) => {
    const z = i * step
    const weight = (i === 0 ? 1 : 2) * step * (Math.exp(-(z * z) / 2) / Math.sqrt(2 * Math.PI))
    return { weight, square: reachAbout(z / Math.sqrt(n), share) ** 2 }
  })
  const held = (factor: number) =>
    points.reduce(
      (sum, { weight, square }) => sum + weight * chiSquareUpper((df * square) / factor ** 2, df),
      0,
    )
  return Math.exp(
    risingRoot((logarithm) => held(Math.exp(logarithm)) - confidence, Math.log(1e-3), Math.log(1e6)),
  )
}

/** The reach to either side of a mean that lies so many standard deviations off, so that it holds the share. */
function reachAbout(off: number, share: number): number {
  return risingRoot(
    (reach) => normalCdf(off + reach) - normalCdf(off - reach) - share,
    0,
    off + normalQuantile((1 + share) / 2),
  )
}

/** Where a rising function passes zero, by halving. */
export function risingRoot(of: (x: number) => number, from: number, to: number): number {
  let [low, high] = [from, to]
  for (let i = 0; i < halvings; i++) {
    const middle = (low + high) / 2
    if (of(middle) < 0) low = middle
    else high = middle
  }
  return (low + high) / 2
}
