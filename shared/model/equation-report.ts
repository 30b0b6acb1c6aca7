import type { Fit, PredictionResult } from '../contract/results/fit.ts'
import type { Settings } from '../contract/things.ts'
import { type Answer, type Problem, refuse } from '../problem.ts'
import { diagnostics } from './diagnostics.ts'
import { tQuantile } from './distributions.ts'
import { boundProblems } from './equation-bounds.ts'
import type { EquationCurve } from './equation-curve.ts'
import { estimateTable } from './estimate-table.ts'
import { expressionText } from './expression.ts'
import type { AnyFit } from './fit.ts'
import type { Frame } from './frame.ts'
import { combination } from './least-squares.ts'
import type { Ended } from './least-sum.ts'
import type { Search } from './levenberg-marquardt.ts'
import { aicc, logLikelihood } from './likelihood.ts'
import { inOwnUnit } from './prediction.ts'
import { profileIntervals } from './profile.ts'
import { sessionProblem } from './session-problem.ts'
import { columnNamed, type Table } from './table.ts'

/** An equation fitted to data; it predicts like a fitted model. */
export type FittedEquation = AnyFit & { parameters: Record<string, number> }

/** A fitted curve and all that its report is made from. */
type Found = {
  curve: EquationCurve
  ended: Ended
  search: Search
  table: Table
  level: number
  session: string | undefined
  /** What the search has to say. */
  problems: Problem[]
}

/** What a curve whose search has ended can be asked. */
export function fittedEquation(found: Found): FittedEquation {
  const { curve, ended, table, level } = found
  const { frame } = curve
  const { df } = ended.tangent
  const variance = df > 0 ? ended.sumOfSquares / df : null
  const problems = [
    ...exactProblems(found, variance),
    ...frame.problems,
    ...found.problems,
    ...boundProblems(curve.parameters, ended),
    sessionProblem(frame, table, found.session),
  ]
  const predictAll = (at: Settings[], own: number) =>
    at.map((settings) => predictAt(curve, ended, variance, settings, own))
  const predict = (at: Settings[], own: { level?: number } = {}) =>
    predictAll(at, own.level ?? level).flatMap((one) => (one.ok ? [one.value] : []))
  const cannotPredict = (at: Settings[]): Problem[] =>
    predictAll(at, level).flatMap((one) => (one.ok ? [] : one.problems))
  let profiles: ReturnType<typeof profileIntervals> | undefined
  return {
    responseName: frame.scale.name,
    responseText: expressionText(curve.response),
    rows: frame.rows,
    level,
    df,
    residualStandardDeviation: variance === null ? null : Math.sqrt(variance),
    problems,
    parameters: Object.fromEntries(curve.parameters.map((name, j) => [name, ended.parameters[j] as number])),
    unitOf: (name) => columnNamed(table, name)?.unit ?? '',
    report: (at = []) => {
      // Profiles take a search for every point, and so are made once and only for a report.
      if (profiles === undefined) profiles = profileIntervals({ ...found, variance })
      const { intervals, problems: open } = profiles
      const told = reportOf(curve, ended, variance, level)
      return {
        ...told,
        terms: told.terms.map((term, j) => {
          const profile = intervals[j]
          return profile ? { ...term, profile } : term
        }),
        predictions: predict(at),
        problems: [...problems, ...open, ...cannotPredict(at)],
      }
    },
    predict,
    cannotPredict,
  }
}

function exactProblems({ ended, search }: Found, variance: number | null): Problem[] {
  if (variance === null) {
    const message = 'There are as many parameters as runs: no error can be given.'
    return [{ code: 'noDegreesOfFreedom', message }]
  }
  if (ended.sumOfSquares > search.exact) {
    const kept = Math.floor(Math.log10(ended.sumOfSquares / search.exact) / 2)
    if (kept >= 4) return []
    const message = `The residuals are little more than rounding: standard errors hold to about ${kept + 1} digits.`
    return [{ code: 'nearlyExact', message }]
  }
  const message = 'The equation goes through every run exactly: its standard errors are only rounding.'
  return [{ code: 'exactFit', message }]
}

function reportOf(
  { frame, parameters }: EquationCurve,
  { tangent, parameters: values, free, sumOfSquares, reason }: Ended,
  variance: number | null,
  level: number,
): Omit<Fit, 'predictions' | 'problems'> {
  const judged = { frame, solution: tangent, variance }
  const n = frame.rows.length
  const likelihood = sumOfSquares > 0 ? logLikelihood(sumOfSquares, frame) : null
  const freeTerms = estimateTable(
    free.map((j) => parameters[j] as string),
    free.map((j) => values[j] as number),
    judged,
    level,
  )
  const unknown = { standardError: null, df: null, t: null, p: null, lower: null, upper: null }
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
    aicc: aicc(likelihood, n, free.length + 1),
    terms: parameters.map(
      (term, j) => freeTerms[free.indexOf(j)] ?? { term, estimate: values[j] as number, ...unknown },
    ),
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
  { parameters, free, tangent }: Ended,
  variance: number | null,
  at: Settings,
  level: number,
): Answer<PredictionResult> {
  if (variance === null)
    return refuse('noDegreesOfFreedom', 'There are as many parameters as runs: no interval can be given.')
  const point = curve.at(at, parameters)
  if (!point.ok) return point
  const slopes = Float64Array.from(free, (j) => point.value.slopes[j] as number)
  const { variance: share } = combination(tangent, { hi: slopes, lo: new Float64Array(slopes.length) })
  const quantile = tQuantile((1 + level) / 2, tangent.df)
  const standardError = Math.sqrt(variance * share)
  return inOwnUnit({
    scale: curve.frame.scale,
    at,
    scope: 'sameSession',
    eta: point.value.value,
    standardError,
    meanReach: quantile * standardError,
    runReach: quantile * Math.sqrt(variance * (1 + share)),
    df: tangent.df,
    varianceSource: 'estimated',
  })
}
