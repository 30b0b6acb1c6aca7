import { pWords } from '../charts/format.ts'
import type { Fit, PredictionResult } from '../contract/results/fit.ts'
import type { Settings } from '../contract/things.ts'
import { type Answer, good, type Problem } from '../problem.ts'
import { curvatureProblems, curvatureTest } from './curvature.ts'
import { differenceAt } from './differences.ts'
import { tQuantile } from './distributions.ts'
import { type Fitted, fitFormula, responseText } from './fitted.ts'
import { parseFormula } from './formula.ts'
import { lackOfFit } from './lack-of-fit.ts'
import { predictAt } from './predict.ts'
import { isExact, reportOf } from './report.ts'
import { sessionProblem } from './session-problem.ts'
import { columnNamed, type Table } from './table.ts'

/** What to fit, and how. */
export type FitOptions = {
  table: Table
  /** The formula with its response, such as `log(thickness) ~ log(speed) + time`. */
  model: string
  /** Name of a column of weights, 1/variance. */
  weights?: string
  /** Of intervals; 0.95 unless given. */
  level?: number
  /** Name of the column that tells sessions apart; `session` unless given. */
  session?: string
}

/** A model fitted to data. */
export type FittedModel = {
  fitted: Fitted
  /** The measured column, and the response as the formula writes it. */
  responseName: string
  responseText: string
  /** Table rows used, counted from 0. */
  rows: number[]
  level: number
  df: number
  /** On the model's scale; null without degrees of freedom. */
  residualStandardDeviation: number | null
  /** What a person should know of the fit. */
  problems: Problem[]
  /** Unit of a column of the model, empty where there is none. */
  unitOf(name: string): string
  /**
   * The whole report; where a prediction cannot be given, a problem says why.
   *
   * @param against settings to compare each of the predictions with; least-squares fits of a model only
   */
  report(at?: Settings[], against?: Settings): Fit
  /**
   * Predictions, in order, for those settings where one can be given.
   *
   * @param options.widest one prediction for each setting: where the fit tells sessions apart that of another session,
   *   which is what a coming day will show, without what it would be by the runs alone
   */
  predict(at: Settings[], options?: { level?: number; widest?: boolean }): PredictionResult[]
  /** Why there is no prediction, for those settings where none can be given. */
  cannotPredict(at: Settings[]): Problem[]
}

/** What every kind of fit can do once it is made, whatever it is made by. */
export type AnyFit = Pick<
  FittedModel,
  | 'responseName'
  | 'responseText'
  | 'rows'
  | 'level'
  | 'df'
  | 'residualStandardDeviation'
  | 'problems'
  | 'unitOf'
  | 'report'
  | 'predict'
  | 'cannotPredict'
>

/**
 * Fits a model by least squares. Fitted values, residuals and likelihoods are on the scale of the formula's
 * response, predictions in the measured unit.
 *
 * @returns problems where the formula cannot be read or does not suit the table
 */
export function fitModel(options: FitOptions): Answer<FittedModel> {
  const { table, model, weights, level = 0.95 } = options
  const formula = parseFormula(model)
  if (!formula.ok) return formula
  const data = weights === undefined ? { table } : { table, weights }
  const answer = fitFormula({ ...data, formula: formula.value })
  if (!answer.ok) return answer
  const fitted = answer.value
  const problems = [
    ...fitted.frame.problems,
    ...fitProblems(fitted),
    sessionProblem(fitted.frame, table, options.session),
  ]
  const predictions = (at: Settings[], own: number) => {
    const { df } = fitted.solution
    const quantile = df > 0 ? tQuantile((1 + own) / 2, df) : Number.NaN
    return at.map((settings) => predictAt(fitted, settings, quantile))
  }
  const failures = (at: Settings[]) =>
    predictions(at, level).flatMap((answer) => (answer.ok ? [] : answer.problems))
  const results = (at: Settings[], own: number) =>
    predictions(at, own).flatMap((answer) => (answer.ok ? [answer.value] : []))
  return good({
    fitted,
    responseName: fitted.frame.scale.name,
    responseText: responseText(fitted),
    rows: fitted.frame.rows,
    level,
    df: fitted.solution.df,
    residualStandardDeviation: fitted.variance === null ? null : Math.sqrt(fitted.variance),
    problems,
    unitOf: (name) => columnNamed(table, name)?.unit ?? '',
    report: (at = [], against) => {
      const compared = against ? at.map((settings) => differenceAt(fitted, settings, against, level)) : []
      return {
        ...reportOf(fitted, level),
        predictions: results(at, level),
        ...(against ? { differences: compared.flatMap((one) => (one.ok ? [one.value] : [])) } : {}),
        problems: told([
          ...problems,
          ...failures(at),
          ...compared.flatMap((one) => (one.ok ? [] : one.problems)),
        ]),
      }
    },
    predict: (at, own = {}) => results(at, own.level ?? level),
    cannotPredict: failures,
  })
}

/** The problems, each once. */
function told(problems: Problem[]): Problem[] {
  return [...new Map(problems.map((problem) => [problem.message, problem])).values()]
}

/** Below this p a warning is given. */
const significant = 0.05

/** What the fit itself says that its user should hear. */
function fitProblems(fitted: Fitted): Problem[] {
  if (fitted.solution.df === 0)
    return [
      {
        code: 'noDegreesOfFreedom',
        message:
          'There are as many terms as runs: the model goes through every run, and no error can be given.',
      },
    ]
  if (isExact(fitted))
    return [
      {
        code: 'exactFit',
        message: 'The model goes through every run exactly: its standard errors are only rounding.',
      },
    ]
  return [...curvatureProblems(curvatureTest(fitted), significant), ...lackOfFitProblem(fitted)]
}

function lackOfFitProblem(fitted: Fitted): Problem[] {
  const lack = lackOfFit(fitted)
  if (!lack || lack.f === null || lack.p === null || lack.p >= significant) return []
  const message =
    `The model misses the data by more than runs at equal settings differ: ` +
    `F(${lack.df}, ${lack.pureErrorDf}) = ${lack.f.toPrecision(4)}, ${pWords(lack.p)}.`
  return [{ code: 'lackOfFit', message }]
}
