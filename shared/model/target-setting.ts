import type { Settings } from '../contract/things.ts'
import { type Answer, good, refuse } from '../problem.ts'
import type { Fitted } from './fitted.ts'
import { workingPoint } from './groups.ts'
import type { Reached } from './inverse-prediction.ts'
import { rowAt } from './predict.ts'
import { toModel } from './response.ts'
import { speedFor } from './shifts.ts'

/**
 * The setting of one factor at which the fitted curve reaches a target, such as the speed for a thickness, with
 * Fieller's interval: the settings at which the data do not contradict the target. On a straight line, also one in
 * logarithms, it is exact; an end without a bound is null, as where the slope is not clearly other than 0.
 *
 * @param options.target in the response's own unit
 * @param options.at the other factors; their median or commonest level where not given
 * @returns a problem with code `unknownColumn`, `outsideDomain` or `targetNotReached`
 */
export function settingForTarget(
  fitted: Fitted,
  options: { factor: string; target: number; at?: Settings; level?: number },
): Answer<Reached & { at: Settings }> {
  const { factor, target, level = 0.95 } = options
  const { frame } = fitted
  if (!frame.columns.some(({ name }) => name === factor) || factor in frame.levels)
    return refuse('unknownColumn', `${factor} is no numeric column of the model.`, { column: factor })
  const eta = toModel(frame.scale, target)
  if (!Number.isFinite(eta))
    return refuse('outsideDomain', `${frame.scale.name} cannot be ${target} on the model’s scale.`, {
      column: 'target',
    })
  const at = { ...workingPoint(frame), ...options.at }
  const first = rowAt(fitted, at)
  if (!first.ok) return first
  const reached = speedFor(fitted, factor, eta, level, (x) => {
    const row = rowAt(fitted, { ...at, [factor]: x })
    return row.ok ? row.value : null
  })
  if (!reached)
    return refuse(
      'targetNotReached',
      `The curve does not reach ${target} near the tested settings of ${factor}.`,
      { column: factor },
    )
  return good({ ...reached, at: { ...at, [factor]: reached.value } })
}
