import type { DesignEvaluation } from '../contract/results/plan.ts'
import type { Place } from './design-terms.ts'
import { type VarianceOf, varianceAt } from './prediction-variance.ts'

/** Points of the region at which the variance is taken. */
const points = 2048
/** Twentieths of the region. */
const steps = 20

/**
 * How the prediction variance is spread over the region −1…+1, levels by name equally weighted: for each
 * twentieth of the region the variance, in σ² of a run, that is not exceeded there. From the points of an
 * additive recurrence (steps of the powers of the root of xᵏ⁺¹ = x + 1, modulo 1), which fill the cube evenly;
 * the whole region takes the largest variance as it was found.
 */
export function varianceShares(
  variance: VarianceOf,
  maximum: number,
): DesignEvaluation['predictionVarianceShares'] {
  const places = evenPlaces(variance.factors)
  const values = Float64Array.from(places, (place) => varianceAt(variance, place)).sort()
  return Array.from({ length: steps + 1 }, (_, i) => {
    const share = i / steps
    if (i === steps) return { share, variance: maximum }
    // Halfway between the two values next to the share, as the median of an even number.
    const at = Math.min(values.length - 1, Math.max(0, share * values.length - 0.5))
    const low = Math.floor(at)
    const high = Math.min(values.length - 1, low + 1)
    return { share, variance: values[low]! + (at - low) * (values[high]! - values[low]!) }
  })
}

/** Places spread evenly over the region; the same on every call. */
export function evenPlaces(factors: VarianceOf['factors'], count = points): Place[] {
  let root = 2
  for (let i = 0; i < 60; i++) root = (1 + root) ** (1 / (factors.length + 1))
  const strides = factors.map((_, f) => root ** -(f + 1))
  return Array.from({ length: count }, (_, n) =>
    Float64Array.from(factors, (factor, f) => {
      const along = (0.5 + (n + 1) * strides[f]!) % 1
      return factor.kind === 'categorical' ? Math.floor(along * factor.levelNames.length) : 2 * along - 1
    }),
  )
}
