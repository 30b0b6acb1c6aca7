import type { DifferenceResult } from '../contract/results/fit.ts'
import type { Settings } from '../contract/things.ts'
import { type Answer, good, refuse } from '../problem.ts'
import { tQuantile } from './distributions.ts'
import type { Fitted } from './fitted.ts'
import { combination } from './least-squares.ts'
import { rowAt } from './predict.ts'
import { rowDifference } from './ratio.ts'
import { slopeToMeasured, toMeasured } from './response.ts'

/**
 * The prediction at some settings beside that at others, with an interval for the two means: what the settings share,
 * such as the constant, takes no part in its error. The difference where the response is modelled as it was
 * measured, the ratio carried back where its logarithm is.
 *
 * @returns a problem where either cannot be predicted, or the response is transformed otherwise (`noDifference`)
 */
export function differenceAt(
  fitted: Fitted,
  at: Settings,
  against: Settings,
  level: number,
): Answer<DifferenceResult> {
  const { variance, solution, frame } = fitted
  const { scale } = frame
  if (variance === null)
    return refuse('noDegreesOfFreedom', 'There are as many terms as runs: no interval can be given.')
  if (scale.function !== 'plain' && scale.function !== 'log' && scale.function !== 'log10')
    return refuse(
      'noDifference',
      `Settings are compared by a difference of ${scale.name} or a ratio from its logarithm; ` +
        `${scale.function}(${scale.name}) gives neither.`,
      { column: 'model' },
    )
  const row = rowAt(fitted, at)
  if (!row.ok) return row
  const base = rowAt(fitted, against)
  if (!base.ok) return base
  const { estimate, variance: share } = combination(solution, rowDifference(row.value, base.value))
  const standardError = Math.sqrt(variance * share)
  const reach = tQuantile((1 + level) / 2, solution.df) * standardError
  const back = (eta: number) => toMeasured(scale, eta)
  return good({
    at,
    against,
    kind: scale.function === 'plain' ? 'difference' : 'ratio',
    estimate: back(estimate),
    standardError: slopeToMeasured(scale, estimate) * standardError,
    confidence: [back(estimate - reach), back(estimate + reach)],
    df: solution.df,
  })
}
