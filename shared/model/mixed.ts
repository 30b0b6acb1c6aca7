import type { Settings } from '../contract/things.ts'
import { type Answer, good, type Problem, refuse } from '../problem.ts'
import { columnOf } from './expression.ts'
import type { AnyFit, FittedModel } from './fit.ts'
import { type Fitted, fitFormula, responseText } from './fitted.ts'
import { parseFormula } from './formula.ts'
import type { Frame } from './frame.ts'
import { exactInside, groupMeans, strataDf } from './group-means.ts'
import type { MixedFit } from './mixed-fit.ts'
import { predictMixed } from './mixed-predict.ts'
import { mixedProblems } from './mixed-problems.ts'
import { mixedReport } from './mixed-report.ts'
import { type MixedTest, marginalMixedTests, sequentialTests } from './mixed-tests.ts'
import { groupTree, parseRandom } from './nested-groups.ts'
import { restrictedMaximum } from './restricted-maximum.ts'
import { sessionProblem } from './session-problem.ts'
import { columnNamed, type Table } from './table.ts'

/** What to fit, and in which groups the runs lie. */
export type MixedOptions = {
  table: Table
  /** The fixed effects with the response, such as `log(thickness) ~ log(speed) + bake`. */
  model: string
  /** Columns of the random effects, outermost first, such as `session/visit`. */
  random: string
  /** Name of a column of weights, 1/variance, of the residual. */
  weights?: string
  /**
   * Variances known from elsewhere, by group as printed (`session`, `session/visit`), in the square of the model
   * response's unit. They are taken as they are, and not estimated.
   */
  stated?: Record<string, number>
  /** Of intervals; 0.95 unless given. */
  level?: number
  /** Name of the column that tells sessions apart; `session` unless given. */
  session?: string
}

/** A stratum: what lies between the groups of a level, inside those of the level around it. */
export type Stratum = { group: string; df: number; variance: number; stated: boolean }

/** A model with variance components, fitted; it predicts like a fitted model. */
export type FittedMixed = AnyFit & {
  /** The rows and columns that the fixed effects use. */
  frame: Frame
  /** Outermost first, the residual last. */
  strata: Stratum[]
  /** F tests with the degrees of freedom of their errors: each term after those before it, and after all others. */
  tests: { sequential: MixedTest[]; marginal: MixedTest[] }
}

/**
 * Fits fixed effects and the variances of nested groups: the variances by restricted maximum likelihood, the fixed
 * effects by generalized least squares, degrees of freedom by Satterthwaite.
 *
 * @returns problems where the model or the groups cannot be read or do not suit the table, where a variance can be
 * neither estimated nor is stated (`noStratumDf`), where nothing is left to estimate from (`exactFit`), or where
 * the search does not converge (`didNotConverge`)
 */
export function fitMixed(options: MixedOptions): Answer<FittedMixed> {
  const { table, stated: given = {}, level = 0.95 } = options
  const formula = parseFormula(options.model)
  if (!formula.ok) return formula
  const columns = parseRandom(options.random)
  if (!columns.ok) return columns
  const { response } = formula.value
  if (response && columns.value.includes(columnOf(response)))
    return refuse('random', `${columnOf(response)} is the response and cannot group the runs.`, {
      column: 'random',
    })
  const weights = options.weights === undefined ? {} : { weights: options.weights }
  const plain = fitFormula({ table, formula: formula.value, also: columns.value, ...weights })
  if (!plain.ok) return plain
  const mixed = mixedFit(plain.value, table, columns.value, given)
  if (!mixed.ok) return mixed
  const fit = mixed.value
  const report = mixedReport(fit, level)
  const session = columns.value.indexOf(options.session ?? 'session')
  const sessions = session < 0 ? false : session === 0 ? true : null
  const problems = [
    ...plain.value.frame.problems,
    ...mixedProblems(fit, { given, level, estimated: () => mixedFit(plain.value, table, columns.value, {}) }),
    ...(session < 0 ? [sessionProblem(plain.value.frame, table, options.session)] : []),
  ]
  const predictions = (at: Settings[], own: number) =>
    at.map((settings) => predictMixed(fit, settings, { level: own, sessions }))
  const predict: FittedModel['predict'] = (at, own = {}) =>
    predictions(at, own.level ?? level).flatMap((answer) => (answer.ok ? answer.value : []))
  const cannotPredict = (at: Settings[]): Problem[] =>
    predictions(at, level).flatMap((answer) => (answer.ok ? [] : answer.problems))
  return good({
    frame: plain.value.frame,
    responseName: plain.value.frame.scale.name,
    responseText: responseText(plain.value),
    rows: plain.value.frame.rows,
    level,
    df: report.df,
    residualStandardDeviation: report.residualStandardDeviation,
    problems,
    unitOf: (name) => columnNamed(table, name)?.unit ?? '',
    report: (at = []) => ({
      ...report,
      predictions: predict(at),
      problems: [...problems, ...cannotPredict(at)],
    }),
    predict,
    cannotPredict,
    strata: report.varianceComponents.map(({ group, variance }, g) => ({
      group,
      variance,
      df: fit.strata[g] as number,
      stated: fit.stated[g] as boolean,
    })),
    tests: { sequential: sequentialTests(fit), marginal: marginalMixedTests(fit) },
  })
}

function mixedFit(
  fitted: Fitted,
  table: Table,
  columns: string[],
  given: Record<string, number>,
): Answer<MixedFit> {
  const tree = groupTree(table, columns, fitted.frame.rows)
  const names = [...tree.names, 'residual']
  const wrong = Object.entries(given).flatMap(([group, variance]) =>
    statedProblem(tree.names, group, variance),
  )
  if (wrong.length > 0) return { ok: false, problems: wrong }
  if (fitted.solution.df === 0)
    return refuse('noDegreesOfFreedom', 'There are as many terms as runs: no variance can be estimated.')
  if (!(fitted.solution.residualSumOfSquares > 0))
    return refuse('exactFit', 'The model goes through every run exactly: there is no variance to divide.')
  const reduced = groupMeans(fitted, tree)
  const strata = strataDf(reduced)
  const missing = strata.flatMap((df, g) => (df > 0 || names[g]! in given ? [] : noStratumDf(names, g)))
  if (missing.length > 0) return { ok: false, problems: missing }
  if (exactInside(reduced))
    return refuse(
      'exactFit',
      `Inside each ${tree.names.at(-1)} the model goes through every run exactly: there is no residual variance.`,
    )
  const stated = names.map((name) => given[name] ?? null)
  const maximum = restrictedMaximum(
    reduced,
    stated.map((variance) => (variance === null ? null : variance / reduced.unit ** 2)),
  )
  if (!maximum) return refuse('didNotConverge', 'The search for the variances did not converge.')
  return good({ fitted, reduced, maximum, strata, stated: stated.map((variance) => variance !== null) })
}

function statedProblem(groups: string[], group: string, variance: number): Problem[] {
  if (!groups.includes(group))
    return [
      {
        code: 'unknownGroup',
        message: `A variance is stated for ‘${group}’; the groups are ${groups.join(', ')}.`,
        column: group,
      },
    ]
  if (Number.isFinite(variance) && variance >= 0) return []
  return [
    { code: 'notANumber', message: `The variance stated for ${group} must be 0 or more.`, column: group },
  ]
}

function noStratumDf(names: string[], g: number): Problem[] {
  const name = names[g] as string
  const message =
    name === 'residual'
      ? `No two runs lie in the same ${names[g - 1]}, after the terms of the model: its variance cannot be told ` +
        'from that of the runs. Leave out the innermost column of the groups.'
      : `The runs leave no degree of freedom for the variance of ${name}: state it from earlier studies, or leave it out.`
  return [{ code: 'noStratumDf', message, column: 'random' }]
}
