import type { Fit } from '../contract/results/fit.ts'
import { fUpper } from './distributions.ts'
import type { Term } from './expression.ts'
import { type Fitted, fitFormula, keptOfTerm } from './fitted.ts'
import { groupMeans, leftInside, strataDf } from './group-means.ts'
import { groupsAtEqualSettings } from './lack-of-fit.ts'
import { estimateMixed } from './mixed-estimate.ts'
import type { MixedFit } from './mixed-fit.ts'
import { sequentialTests } from './mixed-tests.ts'
import type { GroupTree } from './nested-groups.ts'
import type { Column, Table } from './table.ts'

type ByStratum = NonNullable<Fit['lackOfFitByStratum']>

/** With more settings than this a model of its own for each takes too long, and the runs are no designed experiment. */
const mostSettings = 400

/**
 * Lack of fit against pure error, stratum by stratum: between groups the settings that are the same throughout each
 * (a plate visit's temperature) are given a mean each, and the scatter of groups at equal settings is the error; inside
 * the innermost groups every setting is, and the scatter of repeated runs there. On balanced runs these are the F tests
 * of the analysis of variance by strata (Box & Jones, J. Appl. Stat. 19, 1992, from memory; Handbook of Statistical
 * Methods, section 4.4.4.6, for one stratum). Inside the innermost groups the test is exact on unbalanced runs too;
 * between groups its degrees of freedom are then Satterthwaite's. Stated variances take no part.
 *
 * @param options.also columns of the random effects, so that the same rows are used
 */
export function lackOfFitByStratum(
  fit: MixedFit,
  options: { table: Table; also: string[]; weights?: string },
): ByStratum | null {
  const { tree } = fit.reduced
  const { rows, columns } = fit.fitted.frame
  const settings = groupsAtEqualSettings({ rows, columns })
  if (settings.length > mostSettings) return null
  const around: number[][][] = []
  const between = tree.names.map((stratum, g): ByStratum[number] => {
    const constant = columns.filter((column) => isConstantInside(column, fit, g))
    around.push(groupsAtEqualSettings({ rows, columns: constant }))
    const wide = withMeans(fit.fitted, around, options)
    const df = wide ? keptOfTerm(wide, wide.formula.terms.length - 1).length : 0
    if (!wide || df === 0) return { stratum, df: 0, pureErrorDf: fit.strata[g]!, ...untested }
    const pureErrorDf = wide.solution.df > 0 ? strataOf(wide, tree)[g]! : 0
    const estimated = pureErrorDf > 0 ? estimateMixed(wide, tree, {}) : null
    const test = estimated?.ok ? sequentialTests(estimated.value).at(-1) : undefined
    if (!test) return { stratum, df, pureErrorDf, ...untested }
    const { f, p, denominatorDf } = test
    return { stratum, df, pureErrorDf, f, p, denominatorDf }
  })
  return [...between, insideGroups(fit, settings, options)]
}

const untested = { f: null, p: null, denominatorDf: null }

/** What is left inside the innermost groups by the model, and by a mean for each setting. */
function insideGroups(
  fit: MixedFit,
  settings: number[][],
  options: Parameters<typeof lackOfFitByStratum>[1],
): ByStratum[number] {
  const stratum = 'residual'
  const all = fit.strata.at(-1)!
  const wide = withMeans(fit.fitted, [settings], options)
  if (!wide || wide.solution.df === 0 || !(wide.solution.residualSumOfSquares > 0))
    return { stratum, df: all, pureErrorDf: 0, ...untested }
  const reduced = groupMeans(wide, fit.reduced.tree)
  const pureErrorDf = strataDf(reduced).at(-1)!
  const df = all - pureErrorDf
  const pure = leftInside(reduced) * reduced.unit ** 2
  if (df === 0 || pureErrorDf === 0 || !(pure > 0)) return { stratum, df, pureErrorDf, ...untested }
  const lack = Math.max(0, leftInside(fit.reduced) * fit.reduced.unit ** 2 - pure)
  const f = lack / df / (pure / pureErrorDf)
  return { stratum, df, pureErrorDf, f, p: fUpper(f, df, pureErrorDf), denominatorDf: pureErrorDf }
}

function strataOf(fitted: Fitted, tree: GroupTree): number[] {
  return strataDf(groupMeans(fitted, tree))
}

function isConstantInside({ values }: Column, { fitted, reduced }: MixedFit, level: number): boolean {
  const { tree } = reduced
  const found = new Map<number, unknown>()
  return fitted.frame.rows.every((row, i) => {
    let group = tree.groupOfRow[i]!
    for (let g = tree.counts.length - 1; g > level; g--) group = tree.parents[g]![group]!
    if (!found.has(group)) found.set(group, values[row])
    return found.get(group) === values[row]
  })
}

/**
 * The model with a mean for each group of runs besides, a term at its end for each of the groupings; null where it
 * cannot be fitted.
 */
function withMeans(
  fitted: Fitted,
  groupings: number[][][],
  { table, also, weights }: Parameters<typeof lackOfFitByStratum>[1],
): Fitted | null {
  const { rows } = fitted.frame
  const columns = groupings.map((groups, k): Column => {
    const values: (string | null)[] = Array.from({ length: table.rows }, () => null)
    groups.forEach((group, g) => {
      for (const i of group) values[rows[i] as number] = String(g)
    })
    // No column of a file is called so: names there have no blank at their ends.
    return { name: ` settings ${k} `, values }
  })
  const terms = columns.map(({ name }): Term => [{ kind: 'column', name }])
  const answer = fitFormula({
    table: { ...table, columns: [...table.columns, ...columns] },
    formula: { ...fitted.formula, terms: [...fitted.formula.terms, ...terms] },
    also,
    ...(weights === undefined ? {} : { weights }),
  })
  return answer.ok ? answer.value : null
}
