import type { Fit, PredictionResult } from '../contract/results.ts'
import type { Settings } from '../contract/things.ts'
import { type Answer, good, type Problem, refuse } from '../problem.ts'
import { parseEquation } from './arithmetic.ts'
import { diagnostics } from './diagnostics.ts'
import { tQuantile } from './distributions.ts'
import { type EquationCurve, equationCurve } from './equation-curve.ts'
import { bestFit } from './equation-search.ts'
import { estimateTable } from './estimate-table.ts'
import type { AnyFit } from './fit.ts'
import type { Frame } from './frame.ts'
import { combination } from './least-squares.ts'
import type { Ended } from './levenberg-marquardt.ts'
import { aicc, logLikelihood } from './likelihood.ts'
import { sessionProblem } from './session-problem.ts'
import { columnNamed, type Table } from './table.ts'

/** What to fit, and from where. */
export type EquationOptions = {
  table: Table
  /** Such as `thickness = a*speed^(-b) + c`. */
  equation: string
  /** Start values of the parameters; the names that are no columns. */
  start: Record<string, number>
  /** Name of a column of weights, 1/variance. */
  weights?: string
  /** Of intervals; 0.95 unless given. */
  level?: number
  /** Name of the column that tells sessions apart; `session` unless given. */
  session?: string
}

/** An equation fitted to data; it predicts like a fitted model. */
export type FittedEquation = Omit<AnyFit, 'responseText'> & { parameters: Record<string, number> }

/**
 * Fits an equation by non-linear least squares. Standard errors, leverages and intervals are those of the tangent
 * plane at the solution; what is not defined for an equation is null or empty.
 *
 * @returns problems where the equation cannot be read, does not suit the table (`unknownName`), has no value at
 * its start values, or where the search does not converge (`didNotConverge`)
 */
export function fitEquation(options: EquationOptions): Answer<FittedEquation> {
  const { table, start, level = 0.95 } = options
  const equation = parseEquation(options.equation)
  if (!equation.ok) return equation
  const answer = equationCurve({ table, equation: equation.value, start, weights: options.weights })
  if (!answer.ok) return answer
  const curve = answer.value
  const search = bestFit(curve, Object.values(start))
  if (!search.ok) return search
  const { ended, problems: found } = search.value
  const { frame } = curve
  const { df } = ended.tangent
  const variance = df > 0 ? ended.sumOfSquares / df : null
  const problems = [...frame.problems, ...found, sessionProblem(frame, table, options.session)]
  if (variance === null)
    problems.unshift({
      code: 'noDegreesOfFreedom',
      message: 'There are as many parameters as runs: no error can be given.',
    })
  const predictAll = (at: Settings[], own: number) =>
    at.map((settings) => predictAt(curve, ended, variance, settings, own))
  const predict = (at: Settings[], own: { level?: number } = {}) =>
    predictAll(at, own.level ?? level).flatMap((one) => (one.ok ? [one.value] : []))
  const cannotPredict = (at: Settings[]): Problem[] =>
    predictAll(at, level).flatMap((one) => (one.ok ? [] : one.problems))
  return good({
    responseName: frame.scale.name,
    rows: frame.rows,
    level,
    df,
    residualStandardDeviation: variance === null ? null : Math.sqrt(variance),
    problems,
    parameters: Object.fromEntries(curve.parameters.map((name, j) => [name, ended.parameters[j] as number])),
    unitOf: (name) => columnNamed(table, name)?.unit ?? '',
    report: (at = []) => ({
      ...reportOf(curve, ended, variance, level),
      predictions: predict(at),
      problems: [...problems, ...cannotPredict(at)],
    }),
    predict,
    cannotPredict,
  })
}

function reportOf(
  { frame, parameters }: EquationCurve,
  { tangent, parameters: estimates, sumOfSquares, reason }: Ended,
  variance: number | null,
  level: number,
): Omit<Fit, 'predictions' | 'problems'> {
  const judged = { frame, solution: tangent, variance }
  const n = frame.rows.length
  const likelihood = sumOfSquares > 0 ? logLikelihood(sumOfSquares, frame) : null
  return {
    n,
    df: tangent.df,
    dfMethod: 'residual',
    residualStandardDeviation: variance === null ? null : Math.sqrt(variance),
    rSquared: null,
    rSquaredAdjusted: null,
    rSquaredPredicted: null,
    press: null,
    logLikelihood: likelihood,
    aicc: aicc(likelihood, n, parameters.length + 1),
    terms: estimateTable(parameters, estimates, judged, level),
    notEstimable: [],
    analysisOfVariance: residualAndTotal(frame, sumOfSquares, tangent.df, variance),
    marginalTests: [],
    lackOfFit: null,
    varianceComponents: [],
    runs: diagnostics(judged).runs,
    stopReason: reason,
  }
}

function residualAndTotal(
  { response, weights }: Frame,
  sumOfSquares: number,
  df: number,
  meanSquare: number | null,
): Fit['analysisOfVariance'] {
  const weight = (i: number) => weights?.[i] ?? 1
  const sum = response.reduce((total, _, i) => total + weight(i), 0)
  const mean = response.reduce((total, y, i) => total + weight(i) * y, 0) / sum
  const total = response.reduce((all, y, i) => all + weight(i) * (y - mean) ** 2, 0)
  const none = { f: null, p: null }
  return [
    { source: 'residual', df, sumOfSquares, meanSquare, ...none },
    { source: 'total', df: response.length - 1, sumOfSquares: total, meanSquare: null, ...none },
  ]
}

function predictAt(
  curve: EquationCurve,
  ended: Ended,
  variance: number | null,
  at: Settings,
  level: number,
): Answer<PredictionResult> {
  if (variance === null)
    return refuse('noDegreesOfFreedom', 'There are as many parameters as runs: no interval can be given.')
  const missing = curve.frame.columns.find(({ name }) => typeof at[name] !== 'number')
  if (missing) return refuse('missingSetting', `${missing.name} needs a number.`, { column: missing.name })
  const point = curve.at((name) => at[name] as number, ended.parameters)
  if (!point) return refuse('outsideDomain', 'The equation has no value at these settings.')
  const { variance: share } = combination(ended.tangent, {
    hi: point.slopes,
    lo: new Float64Array(point.slopes.length),
  })
  const quantile = tQuantile((1 + level) / 2, ended.tangent.df)
  const around = (spread: number): [number, number] => [
    point.value - quantile * Math.sqrt(spread),
    point.value + quantile * Math.sqrt(spread),
  ]
  return good({
    at,
    scope: 'sameSession',
    estimate: point.value,
    standardErrorOfMean: Math.sqrt(variance * share),
    confidence: around(variance * share),
    prediction: around(variance * (1 + share)),
    df: ended.tangent.df,
    varianceSource: 'estimated',
  })
}
