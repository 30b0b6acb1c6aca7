import { tQuantile } from '../distributions.ts'
import { groupEffects } from '../group-effects.ts'
import type { MixedFit } from '../mixed-fit.ts'
import { inner } from '../symmetric.ts'

/** What one group of the innermost level adds, on the model's scale. */
export type VisitEffect = {
  /** Places of its runs in the fit. */
  places: number[]
  effect: number
  standardError: number
  /** Holds for all groups at once. */
  lower: number
  upper: number
  apart: boolean
}

/**
 * What each visit to the plate adds beside its session: best linear unbiased predictions with their standard errors, the
 * fixed effects, the session and the variances taken as known (Henderson, Biometrics 31, 1975), and intervals that hold
 * for all visits at once by Bonferroni's inequality. A visit stands apart where its interval leaves out 0.
 */
export function visitEffects({ reduced, maximum, strata }: MixedFit, level = 0.95): VisitEffect[] {
  const { p, unit, tree } = reduced
  const size = p + 1
  const { effects, spreads } = groupEffects(reduced, maximum.variances)
  const inmost = tree.counts.length - 1
  const count = tree.counts[inmost] as number
  const variance = maximum.variances[inmost] as number
  const total = (g: number, k: number) => {
    const row = effects[g]!.subarray(k * size, (k + 1) * size)
    return row[p]! - inner(row.subarray(0, p), maximum.at.estimates)
  }
  const quantile = tQuantile(1 - (1 - level) / (2 * count), Math.max(1, strata.at(-1) ?? 1))
  return Array.from({ length: count }, (_, k) => {
    const parent = inmost === 0 ? -1 : (tree.parents[inmost]![k] as number)
    const around = parent < 0 ? 0 : spreads[inmost - 1]![parent]!
    const effect = unit * (total(inmost, k) - (parent < 0 ? 0 : total(inmost - 1, parent)))
    const standardError = unit * Math.sqrt(variance * leftShare(spreads[inmost]![k]!, variance, around))
    const reach = quantile * standardError
    return {
      places: Array.from(tree.groupOfRow).flatMap((group, i) => (group === k ? [i] : [])),
      effect,
      standardError,
      lower: effect - reach,
      upper: effect + reach,
      apart: Math.abs(effect) > reach,
    }
  })
}

/**
 * The share of the variance that the runs leave of an effect, from the spread of the total effect, which is
 * u²·(spread around) + u·variance.
 */
function leftShare(spread: number, variance: number, around: number): number {
  if (variance === 0) return 0
  if (around === 0) return spread / variance
  return (Math.sqrt(variance ** 2 + 4 * around * spread) - variance) / (2 * around)
}
