import type { Fit } from '../contract/results/fit.ts'
import { tQuantile, tTwoSided } from './distributions.ts'
import { expressionText } from './expression.ts'
import { spreadsheetRow } from './frame.ts'
import { inverseHalf } from './least-squares.ts'
import { notEstimable } from './report.ts'
import type { Surface } from './surface.ts'
import { projectionOf } from './surface-likelihood.ts'
import { form, inner } from './symmetric.ts'

/** A run predicted from all others, on the model's scale; the standard deviation is that of a new run. */
export type LeftOut = { row: number; predicted: number; standardDeviation: number; error: number }

/** Leave-one-out in closed form: the error is (P·y)ᵢ/Pᵢᵢ, its variance 1/Pᵢᵢ (Dubrule, Math. Geology 15, 1983). */
export function leaveOneOut({ data, point, fitted }: Surface): LeftOut[] {
  const projection = projectionOf(data, point)
  return fitted.frame.rows.map((row, i) => {
    const own = projection[i + i * data.rows]!
    const error = (data.unit * point.pulled[i]!) / own
    return {
      row: spreadsheetRow(row),
      predicted: fitted.frame.response[i]! - error,
      standardDeviation: data.unit / Math.sqrt(own),
      error,
    }
  })
}

/** The length of each input, named as the formula writes it. */
export function lengthsOf({ inputs, parameters }: Surface): { input: string; length: number }[] {
  return inputs.map((input, d) => ({ input: expressionText(input), length: parameters.lengths[d]! }))
}

/**
 * The statistics of a surface, on the model's scale: the terms are its trend's, PRESS and deleted residuals come from
 * leaving one run out with the parameters held, the likelihood is the one with the trend integrated out.
 */
export function surfaceReport(surface: Surface, level: number): Omit<Fit, 'predictions' | 'problems'> {
  const { fitted, data, parameters, point } = surface
  const { frame, solution } = fitted
  const square = data.unit ** 2
  const out = leaveOneOut(surface)
  const press = out.reduce((sum, { error }) => sum + error * error, 0)
  const reach = tQuantile((1 + level) / 2, solution.df)
  const mean = frame.response.reduce((sum, y) => sum + y, 0) / data.rows
  const total = frame.response.reduce((sum, y) => sum + (y - mean) ** 2, 0)
  return {
    n: data.rows,
    df: solution.df,
    dfMethod: 'residual',
    residualStandardDeviation: Math.sqrt(parameters.noise * square),
    rSquared: null,
    rSquaredAdjusted: null,
    rSquaredPredicted: total > 0 ? 1 - press / total : null,
    press,
    logLikelihood: surfaceLogLikelihood(surface),
    aicc: null,
    terms: trendTable(surface, level),
    notEstimable: notEstimable(fitted),
    analysisOfVariance: [],
    marginalTests: [],
    lackOfFit: null,
    varianceComponents: [
      { group: 'surface', variance: parameters.surface * square },
      { group: 'residual', variance: parameters.noise * square },
    ].map((component) => ({ ...component, standardDeviation: Math.sqrt(component.variance) })),
    runs: out.map(({ row, error, standardDeviation }, i) => {
      const residual = data.unit * parameters.noise * point.pulled[i]!
      return {
        row,
        fitted: frame.response[i]! - residual,
        residual,
        leverage: 1 - (parameters.noise * square) / standardDeviation ** 2,
        studentized: error / standardDeviation,
        cooksDistance: null,
      }
    }),
    surface: {
      kernel: data.kernel,
      trend: surface.trend,
      noiseFrom: surface.noiseFrom,
      lengths: lengthsOf(surface),
      leftOut: {
        rootMeanSquareError: Math.sqrt(press / data.rows),
        outside: out.filter(({ error, standardDeviation }) => Math.abs(error) > reach * standardDeviation)
          .length,
      },
    },
  }
}

/** In the units of the model: with a trend, −½·[(n − p)·ln 2π + ln|V| + ln|X′V⁻¹X| + r′V⁻¹r]. */
function surfaceLogLikelihood({ fitted, data, point }: Surface): number {
  const { r, scales } = fitted.solution.factorization
  const columns = r.reduce((sum, column, k) => sum + Math.log(Math.abs(column.hi[k]!) * scales[k]!), 0)
  return point.value - (data.rows - data.p) * Math.log(data.unit) - columns
}

function trendTable({ fitted, data, point }: Surface, level: number): Fit['terms'] {
  const { solution, columns } = fitted
  return inverseHalf(solution).map(({ hi: z }, k) => {
    const estimate = solution.estimates.hi[k]! + data.unit * inner(z, point.trend)
    const standardError = data.unit * Math.sqrt(form(point.trendCovariance, data.p, z, z))
    const reach = tQuantile((1 + level) / 2, solution.df) * standardError
    const t = estimate / standardError
    return {
      term: columns[solution.factorization.kept[k] as number]?.name ?? '',
      estimate,
      standardError,
      df: solution.df,
      t,
      p: tTwoSided(t, solution.df),
      lower: estimate - reach,
      upper: estimate + reach,
    }
  })
}
