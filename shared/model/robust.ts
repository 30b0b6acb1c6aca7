import type { Fit, PredictionResult } from '../contract/results/fit.ts'
import type { Settings } from '../contract/things.ts'
import { type Answer, good, type Problem, refuse } from '../problem.ts'
import { seeded } from '../random.ts'
import { marginalTests } from './analysis-of-variance.ts'
import { fullLeverage } from './diagnostics.ts'
import { tQuantile } from './distributions.ts'
import { paired } from './double-double.ts'
import { leverages } from './factorize.ts'
import type { AnyFit, FittedModel } from './fit.ts'
import { type Fitted, fitFormula, responseText } from './fitted.ts'
import { parseFormula } from './formula.ts'
import { spreadsheetRow } from './frame.ts'
import { combination, inverseHalf } from './least-squares.ts'
import { type Orthonormal, orthonormal } from './orthonormal.ts'
import { rowAt } from './predict.ts'
import { inOwnUnit } from './prediction.ts'
import { isExact, reportWithoutTests } from './report.ts'
import { leftBy, mEstimate, type RobustSolution, sEstimate } from './robust-search.ts'
import { type RobustKind, robustSlope, robustWeight } from './robust-weights.ts'
import { sessionProblem } from './session-problem.ts'
import { inner } from './symmetric.ts'
import { columnNamed, type Table } from './table.ts'

export type RobustOptions = {
  table: Table
  model: string
  /** Huber's M-estimate, or Tukey's bisquare from an S-estimate (an MM-estimate). */
  kind: RobustKind
  /** Name of a column of weights, 1/variance. */
  weights?: string
  /** Of intervals; 0.95 unless given. */
  level?: number
  /** Of the samples that the bisquare starts from; 1 unless given. */
  seed?: number
  /** Name of the column that tells sessions apart; `session` unless given. */
  session?: string
}

/** A robust fit; it predicts like a fitted model. */
export type FittedRobust = AnyFit &
  Pick<FittedModel, 'fitted'> & {
    /** The robust weight of each run, 0 to 1; rows as a spreadsheet counts them. */
    weights: { row: number; weight: number }[]
  }

/** A run of less weight is named: it lies about two scales or more from the fit. */
const namedBelow = 0.7
/** Weights that sum to fewer runs a term than this cannot tell bad runs from a bent curve. */
const fewestRunsPerTerm = 3

/**
 * Fits a model so that a few bad runs do not carry it away. Standard errors are Huber's (Robust Statistics, 1981,
 * section 7.6, with his correction for the number of terms), on the residual degrees of freedom.
 *
 * @returns problems where the formula does not suit the table, where the model goes through half of the runs exactly
 * (`exactFit`), or where the search does not settle (`didNotConverge`)
 */
export function fitRobust(options: RobustOptions): Answer<FittedRobust> {
  const { table, kind, level = 0.95, seed = 1 } = options
  const formula = parseFormula(options.model)
  if (!formula.ok) return formula
  const weighting = options.weights === undefined ? {} : { weights: options.weights }
  const plain = fitFormula({ table, formula: formula.value, ...weighting })
  if (!plain.ok) return plain
  if (plain.value.solution.df === 0)
    return refuse(
      'noDegreesOfFreedom',
      'There are as many terms as runs: no run can be told to be a bad one.',
    )
  if (isExact(plain.value))
    return refuse(
      'exactFit',
      'The model goes through every run exactly: there is no scatter to judge runs by.',
    )
  const data = orthonormal(plain.value)
  const start = kind === 'bisquare' ? sEstimate(data, seeded(seed)) : null
  if (kind === 'bisquare' && !start) return halfExact()
  const solution = mEstimate(data, kind, start)
  if (!solution) return start ? refuse('didNotConverge', 'The robust fit did not settle.') : halfExact()
  const fit = robustFit(plain.value, data, solution, kind)
  const problems = [
    ...plain.value.frame.problems,
    ...robustProblems(fit),
    sessionProblem(plain.value.frame, table, options.session),
  ]
  const predictions = (at: Settings[], own: number) => at.map((settings) => predictRobust(fit, settings, own))
  const predict: FittedModel['predict'] = (at, own = {}) =>
    predictions(at, own.level ?? level).flatMap((answer) => (answer.ok ? [answer.value] : []))
  const cannotPredict = (at: Settings[]) =>
    predictions(at, level).flatMap((answer) => (answer.ok ? [] : answer.problems))
  return good({
    fitted: fit.fitted,
    responseName: plain.value.frame.scale.name,
    responseText: responseText(plain.value),
    rows: plain.value.frame.rows,
    level,
    df: plain.value.solution.df,
    residualStandardDeviation: fit.scale,
    problems,
    unitOf: (name) => columnNamed(table, name)?.unit ?? '',
    report: (at = []) => ({
      ...reportOf(fit, level),
      predictions: predict(at),
      problems: [...problems, ...cannotPredict(at)],
    }),
    predict,
    cannotPredict,
    weights: plain.value.frame.rows.map((row, i) => ({ row: spreadsheetRow(row), weight: fit.weights[i]! })),
  })
}

function halfExact() {
  return refuse(
    'exactFit',
    'The model goes through half of the runs exactly: there is no scatter to judge the others by.',
  )
}

/** `fitted` carries the robust estimates and residuals, and as variance the one of their standard errors. */
type RobustFit = { fitted: Fitted; scale: number; weights: Float64Array }

function robustFit(
  plain: Fitted,
  data: Orthonormal,
  { coefficients, scale }: RobustSolution,
  kind: RobustKind,
): RobustFit {
  const { rank, df } = plain.solution
  const n = data.rows
  const left = leftBy(data, coefficients)
  const weights = left.map((value) => robustWeight(kind, value / scale))
  const slopes = left.map((value) => robustSlope(kind, value / scale))
  const mean = slopes.reduce((sum, slope) => sum + slope, 0) / n
  const spread = slopes.reduce((sum, slope) => sum + (slope - mean) ** 2, 0) / (n - 1)
  const correction = 1 + (rank * spread) / (n * mean * mean)
  const influence = left.reduce((sum, value, i) => sum + (value * weights[i]!) ** 2, 0) / df
  const estimates = paired(rank)
  inverseHalf(plain.solution).forEach(({ hi }, k) => {
    estimates.hi[k] = plain.solution.estimates.hi[k]! + data.unit * inner(hi, coefficients)
  })
  const residuals = left.map((value) => value * data.unit)
  return {
    fitted: {
      ...plain,
      solution: { ...plain.solution, estimates, residuals },
      variance: influence * (correction / mean) ** 2 * data.unit ** 2,
    },
    scale: scale * data.unit,
    weights,
  }
}

function robustProblems({ fitted, weights, scale }: RobustFit): Problem[] {
  const { frame, solution } = fitted
  const named = frame.rows.flatMap((row, i): Problem[] => {
    const weight = weights[i]!
    if (weight >= namedBelow) return []
    const away = solution.residuals[i]! / scale
    return [
      {
        code: 'downWeighted',
        message:
          `Row ${spreadsheetRow(row)} counts with weight ${weight.toFixed(2)}: it lies ${Math.abs(away).toFixed(1)} ` +
          `times the scatter ${away > 0 ? 'above' : 'below'} the fit.`,
        row: spreadsheetRow(row),
      },
    ]
  })
  const remain = weights.reduce((sum, weight) => sum + weight, 0)
  if (remain >= fewestRunsPerTerm * solution.rank) return named
  const few = {
    code: 'tooFewRuns',
    message:
      `Too few runs: the weights leave ${remain.toFixed(1)} runs for ${solution.rank} terms, fewer than ` +
      `${fewestRunsPerTerm} a term. Whether a run is bad or the model is wrong cannot be told.`,
  }
  return [few, ...named]
}

function reportOf(fit: RobustFit, level: number): Omit<Fit, 'predictions' | 'problems'> {
  const { fitted, scale } = fit
  const { solution, frame } = fitted
  const leverage = leverages(solution.factorization)
  return {
    ...reportWithoutTests(fitted, level),
    residualStandardDeviation: scale,
    marginalTests: marginalTests(fitted),
    runs: frame.rows.map((row, i) => {
      const residual = solution.residuals[i]! / Math.sqrt(frame.weights?.[i] ?? 1)
      const h = Math.min(1, leverage[i]!)
      return {
        row: spreadsheetRow(row),
        fitted: frame.response[i]! - residual,
        residual,
        leverage: h,
        studentized: h < fullLeverage ? solution.residuals[i]! / (scale * Math.sqrt(1 - h)) : null,
        cooksDistance: null,
        weight: fit.weights[i]!,
      }
    }),
  }
}

function predictRobust({ fitted, scale }: RobustFit, at: Settings, level: number): Answer<PredictionResult> {
  const row = rowAt(fitted, at)
  if (!row.ok) return row
  const { df } = fitted.solution
  const { estimate, variance: share } = combination(fitted.solution, row.value)
  const variance = (fitted.variance ?? 0) * share
  const quantile = tQuantile((1 + level) / 2, df)
  return inOwnUnit({
    scale: fitted.frame.scale,
    at,
    scope: 'sameSession',
    eta: estimate,
    standardError: Math.sqrt(variance),
    meanReach: quantile * Math.sqrt(variance),
    runReach: quantile * Math.sqrt(variance + scale ** 2),
    df,
    varianceSource: 'estimated',
  })
}
