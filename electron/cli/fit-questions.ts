import type { Fit, TargetSetting, Transformation } from '../../shared/contract/results/fit.ts'
import type { Settings } from '../../shared/contract/things.ts'
import { speedColumn } from '../../shared/model/corrected-speed.ts'
import type { Table } from '../../shared/model/table.ts'
import { type FitOfFormula, targetSetting } from '../../shared/model/target-setting.ts'
import { transformationOf } from '../../shared/model/transformation.ts'
import { type Answer, good, refuse } from '../../shared/problem.ts'
import { kinds } from './fit-kind.ts'
import { type Given, numberOf, type OptionSpecs, strayOption } from './options.ts'

/** Options that ask a fit for more than its report. */
export const questionOptions: OptionSpecs = {
  'box-cox': { help: 'say which transformation of the response the readings support' },
  target: { value: 'VALUE', help: 'say at which setting the fit reaches this value, the others as in --at' },
  find: { value: 'speed', help: 'the column whose setting --target looks for' },
}

/** What a question is asked of. */
type Asked = {
  model: string
  table: Table
  level: number
  weights?: string
  /** The fit as it predicts; null where it is of a kind that cannot be asked. */
  ofFormula: FitOfFormula | null
  /** With names as texts, be they numbers. */
  at: Settings[]
}

/**
 * The answers to the questions of the options, as blocks of the report, and the places where the fit is to predict:
 * with a target, the setting that was found for it.
 */
export function answersOf(
  given: Given,
  asked: Asked,
): Answer<{ blocks: Pick<Fit, 'target' | 'transformation'>; at: Settings[] }> {
  const stray = strayOption(given, { find: 'target' })
  if (!stray.ok) return stray
  const transformation = given.has('box-cox') ? transformationAsked(given, asked) : null
  if (transformation && !transformation.ok) return transformation
  const target = given.has('target') ? targetAsked(given, asked) : null
  if (target && !target.ok) return target
  return good({
    blocks: {
      ...(transformation ? { transformation: transformation.value } : {}),
      ...(target ? { target: target.value } : {}),
    },
    at: target ? [target.value.at] : asked.at,
  })
}

function transformationAsked(given: Given, { model, table, level, weights }: Asked): Answer<Transformation> {
  const other = ['equation', 'spin-curve', ...kinds].find((kind) => given.has(kind))
  if (other !== undefined)
    return refuse('badOption', `--box-cox belongs to a plain fit of --model, not to --${other}.`, {
      column: 'box-cox',
    })
  return transformationOf({ table, model, level, ...(weights === undefined ? {} : { weights }) })
}

function targetAsked(given: Given, { level, ofFormula, at }: Asked): Answer<TargetSetting> {
  const target = numberOf(given.text('target') ?? '', 'target')
  if (!target.ok) return target
  if (ofFormula === null)
    return refuse('badOption', '--target belongs to a fit of --model, and not to --surface.', {
      column: 'target',
    })
  if (at.length > 1)
    return refuse('badOption', '--target takes one --at, for the other columns.', { column: 'at' })
  const factor = speedColumn(ofFormula.frame, null, given.text('find') ?? undefined) ?? given.text('find')
  if (factor === null)
    return refuse('missingOption', '--target needs --find: the column whose setting is looked for.', {
      column: 'find',
    })
  if (at[0] !== undefined && factor in at[0])
    return refuse('badOption', `--at holds ${factor}, which --target looks for: leave it out.`, {
      column: 'at',
    })
  return targetSetting(ofFormula, { factor, target: target.value, level, at: at[0] ?? {} })
}

/** The answers in words, for the tables. */
export function answersInWords({ transformation, target }: Fit): string[] {
  return [transformation?.words, target?.words].filter((words) => words !== undefined)
}
