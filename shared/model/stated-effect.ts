import type { Fit } from '../contract/results/fit.ts'
import { tQuantile } from './distributions.ts'
import { fixedEffects, keptNames, type MixedFit } from './mixed-fit.ts'

/**
 * What stated variances do to the interval of every term: its half width with them, and by the runs alone (null where
 * these cannot estimate the variances).
 */
export function statedEffect(
  fit: MixedFit,
  alone: MixedFit | null,
  level: number,
): NonNullable<Fit['statedEffect']> {
  const without = alone && halfWidths(alone, level)
  const names = keptNames(fit)
  return halfWidths(fit, level).map((halfWidth, k) => ({
    term: names[k] as string,
    halfWidth,
    halfWidthWithout: without?.[k] ?? null,
  }))
}

function halfWidths(fit: MixedFit, level: number): number[] {
  return fixedEffects(fit).map(({ variance, df }) => tQuantile((1 + level) / 2, df) * Math.sqrt(variance))
}
