import type { Study } from '../../../shared/contract/things.ts'
import type { Result } from '../../../shared/contract.ts'
import type { Curve } from '../../../shared/model/curve.ts'
import { fittedCurve } from '../../../shared/model/curve.ts'
import { columnOf, quoted, termText } from '../../../shared/model/expression.ts'
import { fitModel } from '../../../shared/model/fit.ts'
import { columnsOf, parseFormula } from '../../../shared/model/formula.ts'
import { tableOfGroups, workingPoint } from '../../../shared/model/groups.ts'
import { compareGroups } from '../../../shared/model/lots.ts'
import { columnNamed, isCategorical, type Table } from '../../../shared/model/table.ts'
import { type Answer, good } from '../../../shared/problem.ts'
import { type FitInput, namingRuns } from './study-data.ts'

/** Which groups to compare, and by what. */
export type ComparisonInput = FitInput & {
  by: string
  groups: string[] | undefined
  target: number | null
  margin: number | null
}

/** The comparison of groups of runs, with a curve for each. */
export function comparisonOfLots(input: ComparisonInput): Answer<Result<'lots.compare'>> {
  const { found, model, level, by, groups, target, margin } = input
  const { study, data, dataHash } = found
  const speed = speedOf(study, data.table, model, by)
  const compared = compareGroups({
    table: data.table,
    model,
    by,
    target,
    margin,
    ...(groups === undefined ? {} : { groups }),
    ...(speed === null ? {} : { speed }),
    ...(level === undefined ? {} : { level }),
  })
  if (!compared.ok) return { ok: false, problems: namingRuns(compared.problems, data.runs) }
  const { table } = tableOfGroups(data.table, by, compared.value.groups)
  const curves =
    speed === null ? [] : groupCurves({ table, model, level, by, speed, groups: compared.value.groups })
  return good({
    ...compared.value,
    curves,
    dataHash,
    problems: namingRuns(compared.value.problems, data.runs),
  })
}

/** The column to draw and correct with: the model's factor of that role, else its first column of numbers. */
function speedOf(study: Study, table: Table, model: string, by: string): string | null {
  const formula = parseFormula(model)
  const names = formula.ok ? columnsOf(formula.value.terms) : []
  const numeric = names.filter((name) => {
    const column = columnNamed(table, name)
    return name !== by && column !== undefined && !isCategorical(column)
  })
  const speed = study.factors.find(({ role, name }) => role === 'speed' && numeric.includes(name))
  return speed?.name ?? numeric[0] ?? null
}

type CurveQuestion = {
  table: Table
  model: string
  level?: number | undefined
  by: string
  speed: string
  groups: readonly string[]
}

/** A curve of its own for each group where the runs carry that, otherwise parallel ones. */
function groupCurves(question: CurveQuestion): (Curve & { group: string })[] {
  const { table, by, speed, groups, level } = question
  const formula = parseFormula(question.model)
  if (!formula.ok) return []
  const own = formula.value.terms
    .filter((term) => term.length > 0 && !term.some((part) => columnOf(part) === by))
    .map(termText)
  const left = question.model.split('~')[0] as string
  const options = level === undefined ? {} : { level }
  for (const sign of [' * ', ' + ']) {
    const model = fitModel({ table, model: `${left} ~ (${own.join(' + ')})${sign}${quoted(by)}`, ...options })
    if (!model.ok || model.value.report().notEstimable.length > 0 || model.value.df === 0) continue
    const { frame } = model.value.fitted
    const values = frame.rows.map((row) => columnNamed(table, speed)?.values[row] as number)
    const [low, high] = [Math.min(...values), Math.max(...values)]
    return groups.flatMap((group) => {
      const at = { ...workingPoint(frame), [by]: group }
      const curve = fittedCurve(model.value, { factor: speed, low, high, at })
      return curve.ok ? [{ ...curve.value, group }] : []
    })
  }
  return []
}
