import { pWords } from '../charts/format.ts'
import type { Comparison } from '../contract/results/compare.ts'
import type { Settings } from '../contract/things.ts'
import { type Answer, good, type Problem, refuse } from '../problem.ts'
import { termText } from './expression.ts'
import { fitModel } from './fit.ts'
import { fitFormula, keptOfTerm } from './fitted.ts'
import { type Formula, formulaText, parseFormula } from './formula.ts'
import { spreadsheetRow } from './frame.ts'
import { type Nested, nestedFits, tableOfGroups } from './groups.ts'
import { type LinearFit, mixedLinearFit, plainLinearFit } from './linear-fit.ts'
import { fitOverDays, type OverDays } from './over-days.ts'
import { sessionColumn } from './same-session.ts'
import { shiftsOf } from './shifts.ts'
import { slopesOf } from './slopes.ts'
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
  /** What that can be set to in steps. */
  speedStep?: number | null
  /** With the variances between sessions and visits to the plate; plain least squares unless given. */
  overDays?: OverDays
  /** Settings of the factors; their median or commonest level where not given. */
  at?: Settings
  /** Of the intervals; 0.95 unless given. */
  level?: number
}

/** The comparison, and what its reader should know of it. */
export type GroupComparison = Comparison & { problems: Problem[] }

/** A comparison with the fit that its shifts are read from. */
export type FittedComparison = { comparison: GroupComparison; fit: LinearFit }

/**
 * Compares the curves of groups: F tests of one curve for all (against parallel ones) and of parallel curves
 * (against separate ones), both with the errors of separate curves; and the shift of each group at the
 * target as a ratio to the first group in order of appearance, with the speed that corrects it. Sessions that the model
 * holds apart shift all groups alike; they are no part of the question whether curves are parallel. With `overDays`
 * sessions and visits to the plate have variances: what groups share in a session cancels in their shift, the rest is
 * counted in it, with Satterthwaite's degrees of freedom.
 *
 * @returns problems where the model cannot be fitted or there are not two groups
 */
export function compareGroups(options: CompareOptions): Answer<GroupComparison> {
  const found = fittedComparison(options)
  return found.ok ? good(found.value.comparison) : found
}

/** The same, with the fit behind it. */
export function fittedComparison(options: CompareOptions): Answer<FittedComparison> {
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
  const nested = nestedOf(table, formula.value, options)
  if (!nested.ok) return { ok: false, problems: nested.problems.map(inPlace) }
  const { parallel, separate, ofCurve } = nested.value
  const groups = parallel.fitted.frame.levels[by] ?? []
  if (groups.length < 2)
    return refuse('oneGroup', `${by} has only one group among the runs that can be used.`, { column: by })
  const tests = testsOf(nested.value)
  const own = separate !== null && separate.fitted.solution.factorization.dropped.length === 0
  // Where curves are found not to be parallel, a shift read from parallel ones holds nowhere.
  const partly = !own && notParallel(tests) !== null ? nested.value.partly() : null
  const fit = own ? separate : (partly?.fit ?? parallel)
  const shifts = shiftsOf(fit, { ...options, table, groups, level })
  return good({
    fit,
    comparison: {
      groups,
      fittedCurves: own || partly ? 'separate' : 'parallel',
      commonTerms: (partly?.common ?? []).map(termText),
      tests,
      variation: fit.strata.map(({ group, variance, df, source }) => ({
        group: group.split('/').at(-1) as string,
        standardDeviation: Math.sqrt(variance),
        df,
        source,
      })),
      reference: shifts.reference,
      at: shifts.at,
      shifts: shifts.shifts,
      slopes:
        own || partly
          ? slopesOf(fit, { ofCurve: partly?.ofCurve ?? ofCurve, by, groups, at: shifts.at, level })
          : [],
      problems: [
        ...problems,
        ...parallel.fitted.frame.problems.map(inPlace),
        ...shifts.problems,
        ...slopeProblem(tests, by, options.target !== null),
      ],
    },
  })
}

/** Where sessions leave nothing to tell their variance from that of runs, least squares says the same. */
const plainWill = new Set(['exactFit', 'noStratumDf'])

function nestedOf(table: Table, formula: Formula, options: CompareOptions): Answer<Nested> {
  const { by, level = 0.95, overDays } = options
  const nested = (overDays: OverDays | undefined) =>
    nestedFits(formula, { by, blocks: sessionColumn }, (each) => {
      const own = { table, model: formulaText(each), level }
      if (overDays) {
        const model = fitOverDays({ ...own, ...overDays })
        if (!model.ok) return model
        // A model that holds sessions and visits apart by itself leaves least squares.
        if ('mixed' in model.value) return good(mixedLinearFit(model.value))
      }
      const fitted = fitFormula({ table, formula: each })
      if (!fitted.ok) return fitted
      const fit = plainLinearFit(fitted.value, () => fitModel(own))
      return fit
        ? good(fit)
        : refuse('noDegreesOfFreedom', 'There are as many terms as runs: nothing can be compared.')
    })
  const found = nested(overDays)
  const plain = !found.ok && overDays && found.problems.some(({ code }) => plainWill.has(code))
  return plain ? nested(undefined) : found
}

/** The chance of curves as far from parallel, where it is small enough to say that they are not. */
function notParallel(tests: Comparison['tests']): number | null {
  const p = tests.find(({ question }) => question === 'parallel')?.p ?? null
  return p === null || p >= 0.05 ? null : p
}

function slopeProblem(tests: Comparison['tests'], by: string, atTarget: boolean): Problem[] {
  const p = notParallel(tests)
  if (p === null) return []
  const message = `The curves are not parallel (${pWords(p)}): each ${by}’s shift holds ${
    atTarget ? 'at the target' : 'at the working point'
  } only.`
  return [{ code: 'notParallel', message }]
}

function testsOf({ parallel, separate, groupTerm }: Nested): Comparison['tests'] {
  const widest = separate ?? parallel
  const { terms } = widest.fitted.formula
  const own = terms.flatMap((_, term) => (term > groupTerm ? keptOfTerm(widest.fitted, term) : []))
  return [
    { question: 'same', ...widest.sequentialTest(keptOfTerm(widest.fitted, groupTerm)) },
    { question: 'parallel', ...widest.sequentialTest(own) },
  ]
}
