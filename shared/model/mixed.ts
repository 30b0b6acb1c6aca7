import type { PredictionResult } from '../contract/results/fit.ts'
import type { Settings } from '../contract/things.ts'
import { type Answer, good, type Problem, refuse } from '../problem.ts'
import { columnOf } from './expression.ts'
import type { AnyFit, FittedModel } from './fit.ts'
import { type Fitted, fitFormula, responseText } from './fitted.ts'
import { parseFormula } from './formula.ts'
import { estimateMixed, type KnownVariances } from './mixed-estimate.ts'
import { type MixedFit, type VarianceSource, variancesOf } from './mixed-fit.ts'
import { predictMixed, type SessionOfData } from './mixed-predict.ts'
import { lackOfFitProblems, mixedProblems } from './mixed-problems.ts'
import { mixedReport } from './mixed-report.ts'
import { type MixedTest, marginalMixedTests, sequentialTests } from './mixed-tests.ts'
import { type GroupTree, groupTree, parseRandom } from './nested-groups.ts'
import { sessionProblem } from './session-problem.ts'
import { lackOfFitByStratum } from './strata-lack-of-fit.ts'
import { columnNamed, type Table } from './table.ts'

/** What to fit, and in which groups the runs lie. */
export type MixedOptions = KnownVariances & {
  table: Table
  /** The fixed effects with the response, such as `log(thickness) ~ log(speed) + bake`. */
  model: string
  /** Columns of the random effects, outermost first, such as `session/visit`. */
  random: string
  /** Name of a column of weights, 1/variance, of the residual. */
  weights?: string
  /** Of intervals; 0.95 unless given. */
  level?: number
  /** Name of the column that tells sessions apart; `session` unless given. */
  session?: string
  /** The session that a prediction in the same session is for, where its settings name none; that of the last row unless given. */
  present?: string
}

/** A stratum: what lies between the groups of a level, inside those of the level around it. */
export type Stratum = { group: string; df: number; variance: number; source: VarianceSource }

/** A model with variance components, fitted; it predicts like a fitted model. */
export type FittedMixed = AnyFit & {
  /** The fixed effects by least squares, which gives rows, columns and units. */
  fitted: Fitted
  mixed: MixedFit
  /** Whether a prediction with every group new is one for another session. */
  otherSession: boolean
  /** The session of the data that a prediction in the same session is for; null where the outermost groups are none. */
  present: SessionOfData | null
  /** Outermost first, the residual last. */
  strata: Stratum[]
  /**
   * F tests with the degrees of freedom of their errors: each term after those before it, and after all others. Worked
   * out when asked for: with a column a setting they take longer than the fit.
   */
  tests: { sequential(): MixedTest[]; marginal(): MixedTest[] }
}

/**
 * Fits fixed effects and the variances of nested groups: the variances by restricted maximum likelihood, the fixed
 * effects by generalized least squares, degrees of freedom by Satterthwaite. A variance that is hardly known can be
 * stated, or given from earlier studies for where the runs need it; what that does to every interval is told.
 *
 * @returns problems where the model or the groups cannot be read or do not suit the table, where a variance can be
 * neither estimated nor is stated (`noStratumDf`), where nothing is left to estimate from (`exactFit`), or where
 * the search does not converge (`didNotConverge`)
 */
export function fitMixed(options: MixedOptions): Answer<FittedMixed> {
  const { table, level = 0.95 } = options
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
  const tree = groupTree(table, columns.value, plain.value.frame.rows)
  const mixed = estimateMixed(plain.value, tree, options)
  if (!mixed.ok) return mixed
  const fit = mixed.value
  const alone = aloneOf(fit, plain.value, tree)
  const variances = variancesOf(fit)
  const sessionColumn = options.session ?? 'session'
  const session = columns.value.indexOf(sessionColumn)
  const otherSession = session >= 0
  const ofRows = session === 0 ? columnNamed(table, sessionColumn)?.values : undefined
  const names = ofRows ? plain.value.frame.rows.map((row) => String(ofRows[row])) : []
  const sessionOf = sessionsOfData(names)
  const present = sessionOf(options.present) ?? sessionOf(names.at(-1))
  const problems = [
    ...plain.value.frame.problems,
    ...mixedProblems(fit, alone, level),
    ...(session < 0 ? [sessionProblem(plain.value.frame, table, options.session)] : []),
  ]
  const predictions = (at: Settings[], own: number) =>
    at.map((settings) => {
      const inside = sessionOf(settings[sessionColumn]) ?? present
      const answer = predictMixed(fit, settings, { level: own, session: inside, otherSession })
      if (!answer.ok || alone === fit) return answer
      const without = alone && predictMixed(alone, settings, { level: own, session: inside, otherSession })
      return good(withoutStated(answer.value, without))
    })
  const widest = (at: Settings[], own: number) =>
    at.map((settings) => predictMixed(fit, settings, { level: own, session: null, otherSession }))
  const predict: FittedModel['predict'] = (at, own = {}) =>
    (own.widest ? widest : predictions)(at, own.level ?? level).flatMap((answer) =>
      answer.ok ? answer.value : [],
    )
  const cannotPredict = (at: Settings[]): Problem[] =>
    predictions(at, level).flatMap((answer) => (answer.ok ? [] : answer.problems))
  return good({
    fitted: plain.value,
    mixed: fit,
    otherSession,
    present,
    responseName: plain.value.frame.scale.name,
    responseText: responseText(plain.value),
    rows: plain.value.frame.rows,
    level,
    df: fit.strata.at(-1) as number,
    residualStandardDeviation: Math.sqrt(variances.at(-1) as number),
    problems,
    unitOf: (name) => columnNamed(table, name)?.unit ?? '',
    report(at = []) {
      const strata = lackOfFitByStratum(fit, { table, also: columns.value, ...weights })
      return {
        ...mixedReport(fit, alone, level),
        ...(strata === null ? {} : { lackOfFitByStratum: strata }),
        predictions: predict(at),
        problems: [...problems, ...lackOfFitProblems(strata ?? []), ...cannotPredict(at)],
      }
    },
    predict,
    cannotPredict,
    strata: variances.map((variance, g) => ({
      group: fit.reduced.tree.names[g] ?? 'residual',
      variance,
      df: fit.strata[g] as number,
      source: fit.sources[g] as VarianceSource,
    })),
    tests: { sequential: () => sequentialTests(fit), marginal: () => marginalMixedTests(fit) },
  })
}

/** Finds a session by its name; groups stand in the order in which the rows first name them, as in `groupTree`. */
function sessionsOfData(names: readonly string[]) {
  const places = new Map([...new Set(names)].map((name, group) => [name, group]))
  return (name: string | number | undefined): SessionOfData | null => {
    const group = places.get(String(name))
    return group === undefined ? null : { name: String(name), group }
  }
}

/** The fit by the runs alone: the same one where nothing is stated, null where there is none. */
function aloneOf(fit: MixedFit, plain: Fitted, tree: GroupTree): MixedFit | null {
  if (fit.sources.every((source) => source === 'estimated')) return fit
  const answer = estimateMixed(plain, tree, {})
  return answer.ok ? answer.value : null
}

/** Predictions with the intervals that they would have by the runs alone. */
function withoutStated(
  predictions: PredictionResult[],
  alone: Answer<PredictionResult[]> | null,
): PredictionResult[] {
  return predictions.map((prediction, i) => {
    const other = alone?.ok ? alone.value[i] : undefined
    const without = other ? { confidence: other.confidence, prediction: other.prediction } : null
    return { ...prediction, without }
  })
}
