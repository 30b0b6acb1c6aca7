import { tQuantile } from './distributions.ts'
import { entry, fromNumber, multiply, type Paired, paired, setEntry, subtract } from './double-double.ts'
import type { LinearFit } from './linear-fit.ts'
import { toMeasured, toModel } from './response.ts'

/** A ratio of two responses with its interval; an end without a bound is null. */
export type Ratio = { ratio: number; lower: number | null; upper: number | null; df: number }

/**
 * The ratio of the response at one row of the model to that at another. On a logarithmic scale it is the
 * difference of the two carried back; otherwise its interval is Fieller's (Journal of the Royal Statistical
 * Society B 16, 1954).
 *
 * @returns null where the model's scale gives no ratio
 */
export function ratioOf(fit: LinearFit, above: Paired, below: Paired, level: number): Ratio | null {
  const { scale } = fit.fitted.frame
  if (scale.function === 'exp') return null
  if (scale.function === 'log' || scale.function === 'log10') {
    const { estimate, variance, df } = fit.combination(rowDifference(above, below))
    const reach = tQuantile((1 + level) / 2, df) * Math.sqrt(variance)
    const back = (eta: number) => toMeasured(scale, eta)
    return { ratio: back(estimate), lower: back(estimate - reach), upper: back(estimate + reach), df }
  }
  const inverse = scale.function === 'inverse'
  const [top, bottom] = inverse ? [below, above] : [above, below]
  const fieller = fiellerRatio(fit, top, bottom, level)
  return scale.function === 'sqrt' ? squared(fieller) : fieller
}

/**
 * Student's t for the question whether the ratio of {@link ratioOf} is so much, positive where it is more.
 *
 * @param ratio more than 0
 * @returns null as there
 */
export function ratioScore(
  fit: LinearFit,
  above: Paired,
  below: Paired,
  ratio: number,
): { t: number; df: number } | null {
  const { scale } = fit.fitted.frame
  const kind = scale.function
  if (kind === 'exp') return null
  if (kind === 'log' || kind === 'log10') {
    const { estimate, variance, df } = fit.combination(rowDifference(above, below))
    return { t: (estimate - toModel(scale, ratio)) / Math.sqrt(variance), df }
  }
  const [top, bottom] = kind === 'inverse' ? [below, above] : [above, below]
  const rho = kind === 'sqrt' ? Math.sqrt(ratio) : ratio
  const { estimate, variance, df } = fit.combination(rowDifference(top, bottom, rho))
  return { t: estimate / Math.sqrt(variance), df }
}

/** One row of a model less another, or less so much of it. */
export function rowDifference(a: Paired, b: Paired, share = 1): Paired {
  const result = paired(a.hi.length)
  const of = fromNumber(share)
  for (let i = 0; i < a.hi.length; i++) setEntry(result, i, subtract(entry(a, i), multiply(of, entry(b, i))))
  return result
}

/**
 * The ρ with (N − ρD)² ≤ t²·(v_N − 2ρ·v_ND + ρ²·v_D): the roots of a quadratic, bounded where D differs from 0; t on
 * the degrees of freedom of N − ρD at the ratio itself.
 */
function fiellerRatio(fit: LinearFit, top: Paired, bottom: Paired, level: number): Ratio {
  const { estimate: n, variance: vn } = fit.combination(top)
  const { estimate: d, variance: vd } = fit.combination(bottom)
  const { df } = fit.combination(rowDifference(top, bottom, n / d))
  const c = tQuantile((1 + level) / 2, df) ** 2
  const square = d * d - c * vd
  const half = n * d - c * fit.covariance(top, bottom)
  const rest = half * half - square * (n * n - c * vn)
  if (square <= 0 || rest < 0) return { ratio: n / d, lower: null, upper: null, df }
  const root = Math.sqrt(rest)
  return { ratio: n / d, lower: (half - root) / square, upper: (half + root) / square, df }
}

function squared({ ratio, lower, upper, df }: Ratio): Ratio {
  return {
    ratio: ratio * ratio,
    lower: lower === null ? null : Math.max(0, lower) ** 2,
    upper: upper === null ? null : upper ** 2,
    df,
  }
}
