import type { Frame } from './frame.ts'

/** The maximum of the log-likelihood of normal errors, σ² = RSS/n, weights being 1/variance. */
export function logLikelihood(residualSumOfSquares: number, { rows, weights }: Frame): number {
  const n = rows.length
  const logWeights = Array.from(weights ?? [], Math.log).reduce((a, b) => a + b, 0)
  return 0.5 * (logWeights - n * (Math.log((2 * Math.PI * residualSumOfSquares) / n) + 1))
}

/**
 * Akaike's criterion corrected for small samples (Hurvich & Tsai, Biometrika 76, 1989); null where the sample is too
 * small for it.
 *
 * @param parameters number of estimates, σ counted
 */
export function aicc(likelihood: number | null, n: number, parameters: number): number | null {
  if (likelihood === null || n - parameters - 1 <= 0) return null
  return -2 * likelihood + 2 * parameters + (2 * parameters * (parameters + 1)) / (n - parameters - 1)
}
