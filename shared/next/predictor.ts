import type { Settings } from '../contract/things.ts'
import { solveTransposed } from '../model/factorize.ts'
import type { FittedModel } from '../model/fit.ts'
import { combination, type LeastSquares } from '../model/least-squares.ts'
import { rowAt } from '../model/predict.ts'
import { type ResponseScale, toModel } from '../model/response.ts'
import { type Answer, good, refuse } from '../problem.ts'

/** What a model says at one setting, on its own scale. */
export type Outlook = {
  mean: number
  /** Variance of the mean in units of σ². */
  share: number
  /** The row of the model matrix times R⁻¹: two of them multiply to their covariance in units of σ². */
  whitened: Float64Array
}

/** A fitted model as the search asks it: means and covariances on the model's scale. */
export type Predictor = {
  scale: ResponseScale
  /** Of one run, on the model's scale. */
  standardDeviation: number
  df: number
  /** Largest leverage among the runs of the fit. */
  largestLeverage: number
  /** Columns that the model needs, with their levels where they are categorical. */
  columns: { name: string; levels: string[] | null }[]
  /** Null where no prediction can be given. */
  at(settings: Settings): Outlook | null
}

/** @returns a problem with code `noDegreesOfFreedom` where the model leaves no scatter to judge by */
export function predictorOf(model: FittedModel): Answer<Predictor> {
  const { fitted, residualStandardDeviation } = model
  if (residualStandardDeviation === null)
    return refuse(
      'noDegreesOfFreedom',
      'There are as many terms as runs, so the scatter of a run is unknown. Repeat a run, or take terms out.',
    )
  return good({
    scale: fitted.frame.scale,
    standardDeviation: residualStandardDeviation,
    df: model.df,
    largestLeverage: Math.max(...model.report().runs.map((run) => run.leverage)),
    columns: fitted.frame.columns.map(({ name }) => ({ name, levels: fitted.frame.levels[name] ?? null })),
    at: (settings) => {
      const row = rowAt(fitted, settings)
      return row.ok ? outlook(fitted.solution, row.value) : null
    },
  })
}

function outlook(solution: LeastSquares, row: Parameters<typeof combination>[1]): Outlook {
  const { estimate, variance } = combination(solution, row)
  return { mean: estimate, share: variance, whitened: solveTransposed(solution.factorization, row).hi }
}

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
