import type { MeanStep, StepHeight } from '../contract/results/trace.ts'
import { meanOf } from '../means.ts'
import { type Answer, good, refuse } from '../problem.ts'

/**
 * The mean step of several scans with its standard uncertainty. The scatter part is s/√n, but no less than what the
 * residuals of the scans allow (few scans may agree by chance); the parts of regions and form, which all scans share,
 * are not made smaller by averaging. With one scan it is that scan's own.
 *
 * @param scans at least one
 */
export function meanStep(scans: readonly StepHeight[]): Answer<MeanStep> {
  const n = scans.length
  const kinds = new Set(scans.map(({ kind }) => kind))
  if (kinds.size > 1)
    return refuse(
      'kindsDiffer',
      `The scans are of different kinds: ${[...kinds].join(', ')}. They have no mean.`,
    )
  const step = meanOf(scans.map((scan) => scan.step))
  const spread =
    n > 1 ? Math.sqrt(scans.reduce((sum, scan) => sum + (scan.step - step) ** 2, 0) / (n - 1)) : null
  const ofResiduals = Math.sqrt(meanOf(scans.map(({ uncertainty }) => uncertainty.residuals ** 2)))
  const uncertainty = {
    scatter: Math.max(spread ?? 0, ofResiduals) / Math.sqrt(n),
    regions: meanOf(scans.map(({ uncertainty: { regions } }) => regions ?? 0)),
    form: meanOf(scans.map(({ uncertainty: { form } }) => form)),
  }
  return good({
    n,
    step,
    standardDeviation: spread,
    standardUncertainty: Math.hypot(uncertainty.scatter, uncertainty.regions, uncertainty.form),
    uncertainty,
  })
}
