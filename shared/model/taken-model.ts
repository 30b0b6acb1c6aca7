import type { Fit } from '../contract/results/fit.ts'

/** Codes of problems that say that the runs do not follow the model. */
export const contradictions: ReadonlySet<string> = new Set(['curvature', 'lackOfFit', 'lotsPooled'])

/**
 * Which of several models to take where nobody has chosen one: that with the smallest AICc, which weighs the fit against
 * its count of terms, among those that the runs do not contradict; among all where they contradict each.
 *
 * @param fits by ordinary least squares, null where a model cannot be fitted
 * @returns the place in the list, or -1 in an empty one
 */
export function takenModel(
  fits: readonly (Pick<Fit, 'aicc' | 'notEstimable' | 'problems'> | null)[],
): number {
  const judged = fits.map((fit, place) => ({
    place,
    aicc: (fit?.notEstimable.length === 0 ? fit.aicc : null) ?? Number.POSITIVE_INFINITY,
    contradicted: fit === null || fit.problems.some(({ code }) => contradictions.has(code)),
  }))
  const held = judged.filter((each) => !each.contradicted && each.aicc < Number.POSITIVE_INFINITY)
  const [first, ...others] = held.length > 0 ? held : judged
  return first ? others.reduce((best, each) => (each.aicc < best.aicc ? each : best), first).place : -1
}
