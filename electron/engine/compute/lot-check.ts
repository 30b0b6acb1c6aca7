import type { Settings } from '../../../shared/contract/things.ts'
import type { Result } from '../../../shared/contract.ts'
import { equivalencePower, runsForEquivalence } from '../../../shared/model/equivalence-power.ts'
import { median } from '../../../shared/model/groups.ts'
import { slopeToMeasured, toMeasured } from '../../../shared/model/response.ts'
import { type Answer, good, refuse } from '../../../shared/problem.ts'
import { fitRunsOverDays, type OverDaysInput } from './study-data.ts'

/** Runs of each lot for which the chance is given. */
const counts = [3, 4, 5, 6, 7, 8, 9, 10]

/**
 * The chance with which a check of so many wafers of each lot, in one session, finds equal lots equal within the margin:
 * with the scatter that the study's runs show beside the variance of its days.
 */
export function lotCheckOfStudy({
  margin,
  settings,
  ...input
}: OverDaysInput & { margin: number; settings: Settings }): Answer<Result<'lots.check'>> {
  const fitted = fitRunsOverDays(input)
  if (!fitted.ok) return fitted
  const { model, frame } = fitted.value
  const own = model.residualStandardDeviation
  if (own === null || own <= 0)
    return refuse(
      'noScatter',
      'The runs do not tell their scatter yet: more runs than terms are needed to plan a lot check.',
    )
  const eta = median(Array.from(frame.response))
  const deviation = (own * slopeToMeasured(frame.scale, eta)) / toMeasured(frame.scale, eta)
  const size = { deviation: Math.abs(deviation), margin }
  return good({
    deviation: size.deviation,
    deviationFrom: `scatter of ${model.rows.length} runs about the model, sessions and plate visits apart`,
    margin,
    chances: counts.map((runs) => ({ runs, chance: equivalencePower({ ...size, runs }) })),
    enough: runsForEquivalence({ ...size, power: 0.8 }),
    settings,
  })
}
