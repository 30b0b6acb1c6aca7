import type { Comparison } from '../contract/results/compare.ts'
import type { Settings } from '../contract/things.ts'
import { type Answer, good, type Problem, refuse } from '../problem.ts'
import { fUpper } from './distributions.ts'
import type { Fitted } from './fitted.ts'
import { parseFormula } from './formula.ts'
import { spreadsheetRow } from './frame.ts'
import { type Nested, nestedFits, tableOfGroups } from './groups.ts'
import { reportOf } from './report.ts'
import { shiftsOf } from './shifts.ts'
import { columnNamed, type Table } from './table.ts'

export type CompareOptions = {
  table: Table
  /** The curve of one group; terms in `by` are taken out of it. */
  model: string
  /** Name of the column that tells the groups apart. */
  by: string
  /** Groups to compare; all of them unless given. */
  groups?: string[]
  /** Response, in its own unit, at which shifts and speeds are given; null: the first group's at `at`. */
  target: number | null
  /** Largest difference of the ratio from 1 that still counts as equal; null: not asked. */
  margin: number | null
  /** Name of the factor to correct with; `speed`, `rpm`, or the model's one numeric column, unless given. */
  speed?: string
  /** Name of the column that tells sessions apart; `session` unless given. */
  sessionColumn?: string
  /** Settings of the factors; their median or commonest level where not given. */
  at?: Settings
  /** Of the intervals; 0.95 unless given. */
  level?: number
}

/** The comparison, and what its reader should know of it. */
export type GroupComparison = Comparison & { problems: Problem[] }

/**
 * Compares the curves of groups: F tests of one curve for all (against parallel ones) and of parallel curves
 * (against separate ones), both with the error mean square of separate curves; and the shift of each group at the
 * target as a ratio to the first group in order of appearance, with the speed that corrects it. Sessions that the model
 * holds apart shift all groups alike; they are no part of the question whether curves are parallel.
 *
 * @returns problems where the model cannot be fitted or there are not two groups
 */
export function compareGroups(options: CompareOptions): Answer<GroupComparison> {
  const { by, groups: chosen, level = 0.95 } = options
  const formula = parseFormula(options.model)
  if (!formula.ok) return formula
  if (!columnNamed(options.table, by))
    return refuse('unknownColumn', `There is no column ‘${by}’ to compare by.`, { column: by })
  if (formula.value.terms[0]?.length !== 0)
    return refuse('formula', 'Groups are compared on a model with its constant.', { column: 'model' })
  const { table, rowOf, problems } = tableOfGroups(options.table, by, chosen)
  const inPlace = (problem: Problem): Problem => {
    if (problem.row === undefined) return problem
    const row = spreadsheetRow(rowOf[problem.row - spreadsheetRow(0)] as number)
    return { ...problem, row, message: problem.message.replace(/^Row \d+/, `Row ${row}`) }
  }
  const nested = nestedFits(table, formula.value, { by, blocks: options.sessionColumn ?? 'session' })
  if (Array.isArray(nested)) return { ok: false, problems: nested.map(inPlace) }
  const groups = nested.parallel.frame.levels[by] ?? []
  if (groups.length < 2)
    return refuse('oneGroup', `${by} has only one group among the runs that can be used.`, { column: by })
  const tests = testsOf(nested)
  const {
    reference,
    fittedCurves,
    shifts,
    problems: found,
  } = shiftsOf(nested, { ...options, table, groups, level })
  return good({
    groups,
    fittedCurves,
    tests,
    reference,
    shifts,
    slopes: slopesOf(nested, by, groups, level),
    problems: [
      ...problems,
      ...nested.parallel.frame.problems.map(inPlace),
      ...found,
      ...slopeProblem(tests, by, options.target !== null),
    ],
  })
}

function slopeProblem(tests: Comparison['tests'], by: string, atTarget: boolean): Problem[] {
  const p = tests.find(({ question }) => question === 'parallel')?.p ?? null
  if (p === null || p >= 0.05) return []
  const message = `The curves are not parallel (p = ${p.toPrecision(2)}): each ${by}’s shift holds ${
    atTarget ? 'at the target' : 'at the working point'
  } only.`
  return [{ code: 'notParallel', message }]
}

/** The terms of separate curves that say how a group's curve runs otherwise than the first's, with their intervals. */
function slopesOf(
  { separate }: Nested,
  by: string,
  groups: readonly string[],
  level: number,
): Comparison['slopes'] {
  if (!separate) return []
  const { terms } = reportOf(separate, level)
  const slope = new Map(terms.map(({ term, estimate }) => [term, estimate]))
  const [, ...others] = groups
  return others.flatMap((group) => {
    const own = `.${by}[${group}]`
    return terms.flatMap(({ term, estimate, lower, upper }) => {
      if (!term.endsWith(own)) return []
      const shared = term.slice(0, -own.length)
      return [{ group, term: shared, reference: slope.get(shared) ?? 0, difference: estimate, lower, upper }]
    })
  })
}

function testsOf({ common, parallel, separate }: Nested): Comparison['tests'] {
  const widest = separate ?? parallel
  const test = (question: 'same' | 'parallel', narrow: Fitted, wide: Fitted) => {
    const df1 = wide.solution.rank - narrow.solution.rank
    const df2 = widest.solution.df
    const sum = narrow.solution.residualSumOfSquares - wide.solution.residualSumOfSquares
    const f = df1 > 0 && widest.variance ? Math.max(0, sum) / df1 / widest.variance : null
    return { question, f, df1, df2, p: f === null ? null : fUpper(f, df1, df2) }
  }
  return [test('same', common, parallel), test('parallel', parallel, widest)]
}
