import { tQuantile } from './distributions.ts'
import { entry, type Paired, paired, setEntry, subtract } from './double-double.ts'
import type { Fitted } from './fitted.ts'
import { combination, covariance } from './least-squares.ts'
import { toMeasured, toModel } from './response.ts'

/** A ratio of two responses with its interval; an end without a bound is null. */
export type Ratio = { ratio: number; lower: number | null; upper: number | null }

/**
 * The ratio of the response at one row of the model to that at another. On a logarithmic scale it is the
 * difference of the two carried back; otherwise its interval is Fieller's (Journal of the Royal Statistical
 * Society B 16, 1954).
 *
 * @returns null where the model's scale gives no ratio or the fit no error
 */
export function ratioOf(fitted: Fitted, above: Paired, below: Paired, level: number): Ratio | null {
  const { solution, variance, frame } = fitted
  if (variance === null || frame.scale.function === 'exp') return null
  const quantile = tQuantile((1 + level) / 2, solution.df)
  if (frame.scale.function === 'log' || frame.scale.function === 'log10') {
    const { estimate, variance: share } = combination(solution, rowDifference(above, below))
    const reach = quantile * Math.sqrt(variance * share)
    const back = (eta: number) => toMeasured(frame.scale, eta)
    return { ratio: back(estimate), lower: back(estimate - reach), upper: back(estimate + reach) }
  }
  const inverse = frame.scale.function === 'inverse'
  const [top, bottom] = inverse ? [below, above] : [above, below]
  const fieller = fiellerRatio(fitted, top, bottom, quantile * quantile * variance)
  return frame.scale.function === 'sqrt' ? squared(fieller) : fieller
}

/**
 * Student's t for the question whether the ratio of {@link ratioOf} is so much, positive where it is more.
 *
 * @param ratio more than 0
 * @returns null as there
 */
export function ratioScore(fitted: Fitted, above: Paired, below: Paired, ratio: number): number | null {
  const { solution, variance, frame } = fitted
  const kind = frame.scale.function
  if (variance === null || kind === 'exp') return null
  if (kind === 'log' || kind === 'log10') {
    const { estimate, variance: share } = combination(solution, rowDifference(above, below))
    return (estimate - toModel(frame.scale, ratio)) / Math.sqrt(variance * share)
  }
  const [top, bottom] = kind === 'inverse' ? [below, above] : [above, below]
  const rho = kind === 'sqrt' ? Math.sqrt(ratio) : ratio
  const { estimate: n, variance: vn } = combination(solution, top)
  const { estimate: d, variance: vd } = combination(solution, bottom)
  const spread = vn - 2 * rho * covariance(solution, top, bottom) + rho * rho * vd
  return (n - rho * d) / Math.sqrt(variance * spread)
}

/** One row of a model less another. */
export function rowDifference(a: Paired, b: Paired): Paired {
  const result = paired(a.hi.length)
  for (let i = 0; i < a.hi.length; i++) setEntry(result, i, subtract(entry(a, i), entry(b, i)))
  return result
}

/** The ρ with (N − ρD)² ≤ c·(v_N − 2ρ·v_ND + ρ²·v_D): the roots of a quadratic, bounded where D differs from 0. */
function fiellerRatio({ solution }: Fitted, top: Paired, bottom: Paired, c: number): Ratio {
  const { estimate: n, variance: vn } = combination(solution, top)
  const { estimate: d, variance: vd } = combination(solution, bottom)
  const square = d * d - c * vd
  const half = n * d - c * covariance(solution, top, bottom)
  const rest = half * half - square * (n * n - c * vn)
  if (square <= 0 || rest < 0) return { ratio: n / d, lower: null, upper: null }
  const root = Math.sqrt(rest)
  return { ratio: n / d, lower: (half - root) / square, upper: (half + root) / square }
}

function squared({ ratio, lower, upper }: Ratio): Ratio {
  return {
    ratio: ratio * ratio,
    lower: lower === null ? null : Math.max(0, lower) ** 2,
    upper: upper === null ? null : upper ** 2,
  }
}
