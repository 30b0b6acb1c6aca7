import type { PredictionResult } from '../contract/results/fit.ts'
import type { Settings } from '../contract/things.ts'
import { type Answer, good, type Problem, refuse } from '../problem.ts'
import { seeded } from '../random.ts'
import { tQuantile } from './distributions.ts'
import { columnOf, type Expression, evaluate, expressionText } from './expression.ts'
import { solveTransposed } from './factorize.ts'
import type { AnyFit, FittedModel } from './fit.ts'
import { type Fitted, fitFormula, responseText } from './fitted.ts'
import { parseFormula } from './formula.ts'
import { frameOf } from './frame.ts'
import type { KernelKind } from './kernel.ts'
import { combination } from './least-squares.ts'
import { orthonormal } from './orthonormal.ts'
import { rowAt } from './predict.ts'
import { inOwnUnit } from './prediction.ts'
import { sessionProblem } from './session-problem.ts'
import { inputValues, surfaceInputs, type Trend, trendTerms } from './surface-inputs.ts'
import {
  type SurfaceData,
  type SurfaceParameters,
  type SurfacePoint,
  surfaceAt,
  surfaceMean,
} from './surface-likelihood.ts'
import { type GivenNoise, type NoiseSource, noiseOf } from './surface-noise.ts'
import { type LeftOut, leaveOneOut, lengthsOf, surfaceReport } from './surface-report.ts'
import { searchSurface } from './surface-search.ts'
import { columnNamed, type Table } from './table.ts'

export type SurfaceOptions = {
  table: Table
  /** The response, and in its terms the inputs, such as `log(thickness) ~ log(speed) + time`; powers count once. */
  model: string
  /** Matérn's with smoothness 5/2 unless given. */
  kernel?: KernelKind
  /** A constant unless given. */
  trend?: Trend
  /**
   * In the square of the model response's unit where it is known. Unless given, from replicates where they leave 3
   * degrees of freedom, else estimated.
   */
  noise?: GivenNoise
  /** Lengths by input (`log(speed)`), and the surface's variance, where nothing is to be estimated. */
  known?: { lengths: Record<string, number>; variance: number }
  level?: number
  /** Of the starts of the search; 1 unless given. */
  seed?: number
  session?: string
}

/** A surface fitted as a Gaussian process; it predicts like a fitted model. */
export type FittedSurface = AnyFit & {
  /** In the units of the inputs, as the formula writes them. */
  lengths: { input: string; length: number }[]
  /** In the square of the model response's unit. */
  surfaceVariance: number
  noiseVariance: number
  noiseFrom: NoiseSource
  /** Each run predicted from all others, the parameters held. */
  leftOut: LeftOut[]
}

/** Below this the likelihood is too flat to trust its lengths. */
const fewestRuns = 30
/** The work grows with the cube of the runs: this many take some ten seconds. */
const mostRuns = 500

/** The fit as its report and predictions see it. */
export type Surface = {
  fitted: Fitted
  inputs: Expression[]
  trend: Trend
  noiseFrom: NoiseSource
  data: SurfaceData
  parameters: SurfaceParameters
  point: SurfacePoint
}

/**
 * Fits a Gaussian process: a trend, and about it a surface with one length for each input, both from the likelihood
 * in which the trend is integrated out (Rasmussen & Williams, Gaussian Processes for Machine Learning, 2006).
 * Intervals take the parameters as known, with t on the degrees of freedom that the trend leaves.
 *
 * @returns problems where the model does not suit the table (`categoricalInput`, `constantFactor`), where there are more
 * than 500 runs (`tooManyRuns`), where there are no
 * replicates to take the noise from (`noReplicates`), where runs are repeated but the noise is stated to be 0
 * (`repeatedRuns`), or where no likelihood can be computed (`noSurface`)
 */
export function fitSurface(options: SurfaceOptions): Answer<FittedSurface> {
  const { table, kernel = 'matern52', trend = 'constant', level = 0.95 } = options
  const formula = parseFormula(options.model)
  if (!formula.ok) return formula
  const { response, terms } = formula.value
  if (response === null)
    return refuse('formula', 'The model names no response: write it before ‘~’.', { column: 'model' })
  const inputs = surfaceInputs(terms)
  const frame = frameOf(table, { response, terms: inputs.map((input) => [input]) }, response)
  if (!frame.ok) return frame
  if (frame.value.rows.length > mostRuns)
    return refuse(
      'tooManyRuns',
      `A surface takes at most ${mostRuns} runs, and the table has ${frame.value.rows.length}: fit means of them.`,
    )
  const values = inputValues(frame.value, inputs)
  if (!values.ok) return values
  const plain = fitFormula({
    table,
    formula: { response, terms: trendTerms(inputs, trend) },
    also: [...new Set(inputs.map(columnOf))],
  })
  if (!plain.ok) return plain
  const fitted = plain.value
  if (!(fitted.solution.df > 0 && fitted.solution.residualSumOfSquares > 0))
    return refuse(
      'exactFit',
      'The trend goes through every run exactly: nothing is left for a surface about it.',
    )
  const data: SurfaceData = { ...orthonormal(fitted), kernel, inputs: values.value }
  const noise = noiseOf(options.noise, frame.value, values.value)
  if (!noise.ok) return noise
  const found = parametersOf(options, inputs, data, noise.value.variance)
  if (!found.ok) return found
  const { parameters } = found.value
  const point = surfaceAt(data, parameters)
  if (!point) return noSurface()
  const { from: noiseFrom } = noise.value
  const surface: Surface = { fitted, inputs, trend, noiseFrom, data, parameters, point }
  const square = data.unit ** 2
  const problems = [
    ...frame.value.problems,
    ...found.value.problems,
    ...fewRuns(data.rows),
    sessionProblem(frame.value, table, options.session),
  ]
  const source = noiseFrom === 'stated' ? 'stated' : 'estimated'
  const predictions = (at: Settings[], own: number) =>
    at.map((settings) => predictSurface(surface, settings, { level: own, source }))
  const predict: FittedModel['predict'] = (at, own = {}) =>
    predictions(at, own.level ?? level).flatMap((answer) => (answer.ok ? [answer.value] : []))
  const cannotPredict = (at: Settings[]) =>
    predictions(at, level).flatMap((answer) => (answer.ok ? [] : answer.problems))
  return good({
    responseName: frame.value.scale.name,
    responseText: responseText(fitted),
    rows: frame.value.rows,
    level,
    df: fitted.solution.df,
    residualStandardDeviation: Math.sqrt(parameters.noise * square),
    problems,
    unitOf: (name) => columnNamed(table, name)?.unit ?? '',
    report: (at = []) => ({
      ...surfaceReport(surface, level),
      predictions: predict(at),
      problems: [...problems, ...cannotPredict(at)],
    }),
    predict,
    cannotPredict,
    lengths: lengthsOf(surface),
    surfaceVariance: parameters.surface * square,
    noiseVariance: parameters.noise * square,
    noiseFrom,
    leftOut: leaveOneOut(surface),
  })
}

function noSurface() {
  return refuse(
    'noSurface',
    'No surface can be computed: some settings are too close to each other for so small a noise.',
  )
}

function parametersOf(
  { known, seed = 1 }: SurfaceOptions,
  inputs: Expression[],
  data: SurfaceData,
  noise: number | null,
): Answer<{ parameters: SurfaceParameters; problems: Problem[] }> {
  const square = data.unit ** 2
  const names = inputs.map(expressionText)
  if (known) {
    const lengths = names.map((name) => known.lengths[name] ?? Number.NaN)
    if (![...lengths, known.variance].every((value) => value > 0) || noise === null)
      return refuse(
        'notANumber',
        `A known surface needs lengths for ${names.join(', ')}, a variance and a noise.`,
      )
    return good({
      parameters: { lengths, surface: known.variance / square, noise: noise / square },
      problems: [],
    })
  }
  const found = searchSurface(data, seeded(seed), noise === null ? null : noise / square)
  if (!found) return noSurface()
  const problems = names.flatMap((name, d) =>
    found.straight[d]
      ? [
          {
            code: 'straightInput',
            message: `Along ${name} the surface does not bend beyond its trend: its length has no upper limit.`,
            column: name,
          },
        ]
      : [],
  )
  return good({ parameters: found.parameters, problems })
}

function fewRuns(runs: number): Problem[] {
  if (runs >= fewestRuns) return []
  const message =
    `A surface through ${runs} runs, fewer than ${fewestRuns}, is a check on the fitted model only: ` +
    'its lengths are hardly known, and its intervals take them as known.'
  return [{ code: 'checkOnly', message }]
}

function predictSurface(
  { fitted, inputs, data, parameters, point }: Surface,
  at: Settings,
  { level, source }: { level: number; source: PredictionResult['varianceSource'] },
): Answer<PredictionResult> {
  const settings: number[] = []
  for (const input of inputs) {
    const name = columnOf(input)
    const value = Object.hasOwn(at, name) ? at[name] : undefined
    if (typeof value !== 'number')
      return refuse('missingSetting', `${name} needs a number.`, { column: name })
    const own = evaluate(input, value)
    if (!Number.isFinite(own))
      return refuse('outsideDomain', `${expressionText(input)} has no value at these settings.`, {
        column: name,
      })
    settings.push(own)
  }
  const row = rowAt(fitted, at)
  if (!row.ok) return row
  const onQ = solveTransposed(fitted.solution.factorization, row.value).hi
  const { mean, variance } = surfaceMean(data, parameters, point, { settings, onQ })
  const quantile = tQuantile((1 + level) / 2, fitted.solution.df) * data.unit
  return inOwnUnit({
    scale: fitted.frame.scale,
    at,
    scope: 'sameSession',
    eta: combination(fitted.solution, row.value).estimate + data.unit * mean,
    standardError: Math.sqrt(variance) * data.unit,
    meanReach: quantile * Math.sqrt(variance),
    runReach: quantile * Math.sqrt(variance + parameters.noise),
    df: fitted.solution.df,
    varianceSource: source,
  })
}
