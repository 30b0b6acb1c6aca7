import type { PredictionResult } from '../contract/results/fit.ts'
import type { SetErrors } from '../contract/results/next.ts'
import type { Settings } from '../contract/things.ts'
import { largest } from '../extremes.ts'
import { dot } from '../model/double-double.ts'
import type { FittedModel } from '../model/fit.ts'
import type { Frame } from '../model/frame.ts'
import { whitener } from '../model/least-squares.ts'
import type { FittedMixed } from '../model/mixed.ts'
import { variancesOf } from '../model/mixed-fit.ts'
import { runOutlooks, runsHere } from '../model/mixed-outlook.ts'
import { rowsOf } from '../model/predict.ts'
import { type ResponseScale, toModel } from '../model/response.ts'
import { inner } from '../model/symmetric.ts'
import { type Answer, good, refuse } from '../problem.ts'

/** What a model says at one setting, on its own scale. */
export type Outlook = {
  mean: number
  /** Variance of the mean. */
  variance: number
  /** Two of these multiply to the covariance of their means. */
  whitened: Float64Array
  /** Degrees of freedom of the variance of a run. */
  df: number
}

/**
 * What a run tells of the means: its whitened row, and the variance that its reading has besides; of it, what it shares
 * with further runs of its session, and with those of its visit to the plate.
 */
export type NewRun = { whitened: Float64Array; noise: number; session: number; visit: number }

/** A fitted model as the search asks it: means and covariances on the model's scale. */
export type Predictor = {
  scale: ResponseScale
  /** What a run is predicted for: a day like those of the data, or another. */
  scope: PredictionResult['scope']
  /** Variance of one run about the mean, in that scope. */
  noise: number
  /** What of it the runs of one session share: that of the session and of its visits to the plate. */
  shared: number
  /** The largest variance of the mean among the runs of the fit. */
  largestVariance: number
  /** Columns that the model needs, with their levels where they are categorical. */
  columns: { name: string; levels: string[] | null }[]
  /** Null where no prediction can be given. */
  at(settings: Settings): Outlook | null
  /** A run in the present session of the fit, at a new visit to the plate; null as above. */
  here(settings: Settings): NewRun | null
}

/** A model that can be searched. */
export type Searchable = FittedModel | FittedMixed

/** @returns a problem with code `noDegreesOfFreedom` where the model leaves no scatter to judge by */
export function predictorOf(model: Searchable): Answer<Predictor> {
  if ('strata' in model) return good(mixedPredictor(model))
  const { fitted } = model
  const { variance, frame, solution } = fitted
  if (variance === null)
    return refuse(
      'noDegreesOfFreedom',
      'There are as many terms as runs, so the scatter of a run is unknown. Repeat a run, or take terms out.',
    )
  const largestLeverage = largest(model.report().runs.map((run) => run.leverage))
  const deviation = Math.sqrt(variance)
  const rowOf = rowsOf(fitted)
  const whiten = whitener(solution)
  const at = (settings: Settings): Outlook | null => {
    const row = rowOf(settings)
    if (!row.ok) return null
    const mean = dot(row.value, solution.estimates, 0, solution.rank).hi
    const whitened = whiten(row.value).map((value) => value * deviation)
    return { mean, variance: inner(whitened, whitened), whitened, df: model.df }
  }
  return good({
    scale: frame.scale,
    scope: 'sameSession',
    noise: variance,
    shared: 0,
    largestVariance: largestLeverage * variance,
    columns: columnsOf(frame),
    at,
    here(settings) {
      const outlook = at(settings)
      return outlook && { whitened: outlook.whitened, noise: variance, session: 0, visit: 0 }
    },
  })
}

/** With every group new: another session, in it another visit to the plate. */
function mixedPredictor({ mixed, fitted: { frame }, otherSession, present }: FittedMixed): Predictor {
  const at = runOutlooks(mixed)
  const runs = frame.rows.map(
    (i) =>
      at(Object.fromEntries(frame.columns.map(({ name, values }) => [name, values[i] as number | string])))
        ?.variance,
  )
  return {
    scale: frame.scale,
    scope: otherSession ? 'otherSession' : 'sameSession',
    noise: sumOf(variancesOf(mixed)),
    shared: sumOf(variancesOf(mixed).slice(0, -1)),
    largestVariance: largest(runs.map((variance) => variance ?? 0)),
    columns: columnsOf(frame),
    at,
    here: runsHere(mixed, present),
  }
}

const sumOf = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0)

/** More degrees of freedom make no difference, and no number stands for infinitely many. */
const mostDf = 1e6

/** Where the error of a run comes from, in the predictor's scope. Runs of one visit are counted as those of one day. */
export function errorsOf(
  { noise, shared }: Predictor,
  { variance, df }: Pick<Outlook, 'variance' | 'df'>,
): SetErrors {
  return { common: variance, day: shared, run: noise - shared, df: Math.min(df, mostDf) }
}

const columnsOf = ({ columns, levels }: Frame) =>
  columns.map(({ name }) => ({ name, levels: levels[name] ?? null }))

/** A target with its tolerance on the model's scale; a limit that has no value there is −∞ or +∞. */
export function goalOnScale(
  scale: ResponseScale,
  target: number,
  tolerance: number,
): Answer<{ target: number; low: number; high: number }> {
  const middle = toModel(scale, target)
  if (!Number.isFinite(middle))
    return refuse(
      'badTarget',
      `A target of ${target} has no value on the model’s scale, ${scale.function}.`,
      {
        column: 'target',
      },
    )
  const positiveOnly = scale.function === 'log' || scale.function === 'log10' || scale.function === 'sqrt'
  // A tolerance that reaches zero leaves the logarithm, the root and the inverse without that limit.
  const ends = [target - tolerance, target + tolerance].map((value) =>
    value > 0 || !(positiveOnly || scale.function === 'inverse')
      ? toModel(scale, value)
      : scale.function === 'inverse'
        ? Number.POSITIVE_INFINITY
        : Number.NEGATIVE_INFINITY,
  )
  return good({ target: middle, low: Math.min(...ends), high: Math.max(...ends) })
}
