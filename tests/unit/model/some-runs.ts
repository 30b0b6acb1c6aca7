import { type FitOptions, type FittedModel, fitModel } from '../../../shared/model/fit.ts'
import type { Table } from '../../../shared/model/table.ts'
import type { Problem } from '../../../shared/problem.ts'

/** A table from columns by name. */
export function tableOf(columns: Record<string, (number | string | null)[]>): Table {
  const list = Object.entries(columns).map(([name, values]) => ({ name, values }))
  return { columns: list, rows: list[0]?.values.length ?? 0 }
}

/** Fourteen invented runs of three lots, with weights. */
export const someRuns = tableOf({
  thickness: [1948, 1516, 1260, 1496, 2179, 1982, 1309, 1386, 1564, 1468, 1319, 1226, 2038, 1871],
  speed: [2000, 3250, 4500, 3250, 2000, 2000, 4500, 4500, 3250, 3250, 4500, 4500, 2000, 2000],
  bake: [100, 100, 100, 100, 90, 90, 90, 90, 90, 110, 110, 110, 110, 110],
  lot: ['A', 'A', 'B', 'B', 'A', 'C', 'B', 'C', 'A', 'B', 'C', 'A', 'B', 'C'],
  weight: [1, 2, 1, 0.5, 1, 3, 1, 1, 2, 1, 4, 1, 1, 0.25],
})

/** The fitted model; a refusal fails the test with its reasons. */
export function fittedTo(table: Table, model: string, options: Partial<FitOptions> = {}): FittedModel {
  const answer = fitModel({ table, model, ...options })
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.message).join('\n'))
  return answer.value
}

/** Why the model is refused; a fit fails the test. */
export function refusalOf(table: Table, model: string, options: Partial<FitOptions> = {}): Problem[] {
  const answer = fitModel({ table, model, ...options })
  if (answer.ok) throw new Error('The model was fitted.')
  return answer.problems
}
