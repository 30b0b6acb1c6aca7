import type { TargetSetting } from '../contract/results.ts'
import type { Settings } from '../contract/things.ts'
import { type Answer, good, refuse } from '../problem.ts'
import type { Fitted } from './fitted.ts'
import { workingPoint } from './groups.ts'
import type { Reached } from './inverse-prediction.ts'
import { rowAt } from './predict.ts'
import { toModel } from './response.ts'
import { speedFor } from './shifts.ts'
import { columnNamed, type Table } from './table.ts'

/**
 * The setting of one factor at which the fitted curve reaches a target, such as the speed for a thickness, with
 * Fieller's interval: the settings at which the data do not contradict the target. On a straight line, also one in
 * logarithms, it is exact; an end without a bound is null, as where the slope is not clearly other than 0.
 *
 * @param options.target in the response's own unit
 * @param options.at the other factors; their median or commonest level where not given
 * @param options.readings number of new runs whose mean is to be the target; without it the true mean is
 * @returns a problem with code `unknownColumn`, `outsideDomain` or `targetNotReached`
 */
export function settingForTarget(
  fitted: Fitted,
  options: { factor: string; target: number; at?: Settings; level?: number; readings?: number },
): Answer<Reached & { at: Settings }> {
  const { factor, target, level = 0.95, readings } = options
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
  const reached = speedFor(
    fitted,
    factor,
    eta,
    level,
    (x) => {
      const row = rowAt(fitted, { ...at, [factor]: x })
      return row.ok ? row.value : null
    },
    readings,
  )
  if (!reached)
    return refuse(
      'targetNotReached',
      `The curve does not reach ${target} near the tested settings of ${factor}.`,
      { column: factor },
    )
  return good({ ...reached, at: { ...at, [factor]: reached.value } })
}

/**
 * The same as a result: with the settings at which one new run may read the target, and in words.
 *
 * @param options.table gives the units
 * @returns problems as of {@link settingForTarget}, and `noDegreesOfFreedom` where nothing tells the scatter
 */
export function targetSetting(
  fitted: Fitted,
  options: { table: Table; factor: string; target: number; at?: Settings; level?: number },
): Answer<TargetSetting> {
  const { table, factor, target, level = 0.95 } = options
  if (fitted.variance === null)
    return refuse('noDegreesOfFreedom', 'There are as many terms as runs: no interval can be given.')
  const mean = settingForTarget(fitted, options)
  if (!mean.ok) return mean
  const oneRun = settingForTarget(fitted, { ...options, readings: 1 })
  if (!oneRun.ok) return oneRun
  const { value, lower, upper, at } = mean.value
  const withUnit = (text: string, name: string) => {
    const unit = columnNamed(table, name)?.unit ?? ''
    return unit === '' ? text : `${text} ${unit}`
  }
  const span = ({ lower, upper }: Reached) =>
    inWords({ value, lower, upper }, (text) => withUnit(text, factor))
  const percent = `${Number((100 * level).toPrecision(6))} %`
  const { name } = fitted.frame.scale
  return good({
    column: factor,
    setting: value,
    lower,
    upper,
    oneRun: { lower: oneRun.value.lower, upper: oneRun.value.upper },
    scope: 'sameSession',
    at,
    words:
      `The fit reaches ${name} ${withUnit(String(target), name)} at ${factor} ${withUnit(number(value), factor)}. ` +
      `With ${percent} confidence its mean is reached ${span(mean.value)}; one new run may read it ${span(oneRun.value)}.`,
  })
}

const number = (value: number) => String(Number(value.toPrecision(4)))

/** An interval of settings in words; an end that the data do not give is said to be missing. */
function inWords({ lower, upper }: Reached, withUnit: (text: string) => string): string {
  if (lower !== null && upper !== null) return `between ${number(lower)} and ${withUnit(number(upper))}`
  if (lower !== null) return `above ${withUnit(number(lower))}, with no upper end in these runs`
  if (upper !== null) return `below ${withUnit(number(upper))}, with no lower end in these runs`
  return 'anywhere, for all that these runs tell: the slope is not clearly other than 0'
}
