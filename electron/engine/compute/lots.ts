import type { Study } from '../../../shared/contract/things.ts'
import type { Result } from '../../../shared/contract.ts'
import { largest, smallest } from '../../../shared/extremes.ts'
import type { Curve } from '../../../shared/model/curve.ts'
import { fittedCurve } from '../../../shared/model/curve.ts'
import { columnsOf, parseFormula } from '../../../shared/model/formula.ts'
import { type FittedComparison, fittedComparison } from '../../../shared/model/lots.ts'
import { columnNamed, isCategorical, type Table } from '../../../shared/model/table.ts'
import { type Answer, good } from '../../../shared/problem.ts'
import { daysOf, namingRuns, type OverDaysInput } from './study-data.ts'

/** Which groups to compare, and by what. */
export type ComparisonInput = OverDaysInput & {
  by: string
  groups: string[] | undefined
  target: number | null
  margin: number | null
}

/** The comparison of groups of runs, with a curve for each. */
export function comparisonOfLots(input: ComparisonInput): Answer<Result<'lots.compare'>> {
  const { found, model, level, by, groups, target, margin, others } = input
  const { study, data, dataHash } = found
  const speed = speedOf(study, data.table, model, by)
  const compared = fittedComparison({
    table: data.table,
    model,
    by,
    target,
    margin,
    overDays: daysOf(model, others),
    ...(groups === undefined ? {} : { groups }),
    ...(speed === null ? {} : { speed: speed.name, speedStep: speed.step }),
    ...(level === undefined ? {} : { level }),
  })
  if (!compared.ok) return { ok: false, problems: namingRuns(compared.problems, data.runs) }
  const { comparison } = compared.value
  return good({
    ...comparison,
    curves: speed === null ? [] : groupCurves(compared.value, by, speed.name),
    dataHash,
    problems: namingRuns(comparison.problems, data.runs),
  })
}

/**
 * The column to draw and correct with: the model's factor of that role, else its first column of numbers; and what the
 * coater can be set to, where it is the speed.
 */
function speedOf(
  study: Study,
  table: Table,
  model: string,
  by: string,
): { name: string; step: number | null } | null {
  const formula = parseFormula(model)
  const names = formula.ok ? columnsOf(formula.value.terms) : []
  const numeric = names.filter((name) => {
    const column = columnNamed(table, name)
    return name !== by && column !== undefined && !isCategorical(column)
  })
  const speed = study.factors.find(({ role, name }) => role === 'speed' && numeric.includes(name))
  if (speed) return { name: speed.name, step: study.coater?.speedStep ?? null }
  return numeric[0] === undefined ? null : { name: numeric[0], step: null }
}

/** A curve for each group, of the fit that the shifts are read from. */
function groupCurves(
  { fit, comparison }: FittedComparison,
  by: string,
  factor: string,
): (Curve & { group: string })[] {
  const model = fit.predictor()
  if (!model.ok) return []
  const { frame } = fit.fitted
  const { values = [] } = frame.columns.find(({ name }) => name === factor) ?? {}
  const used = frame.rows.map((row) => values[row] as number)
  const [low, high] = [smallest(used), largest(used)]
  return comparison.groups.flatMap((group) => {
    const curve = fittedCurve(model.value, { factor, low, high, at: { ...comparison.at, [by]: group } })
    return curve.ok ? [{ ...curve.value, group }] : []
  })
}
