import { z } from 'zod'
import { settings } from '../things.ts'
import { interval, maybe, number } from './numbers.ts'
import { problem } from './problem.ts'

export const varianceSource = z.enum(['estimated', 'earlierStudies', 'stated'])

export const predictionResult = z.object({
  at: settings,
  scope: z.enum(['sameSession', 'otherSession']),
  /** The session of the data that a prediction in the same session is for, where the runs name it. */
  session: z.string().optional(),
  estimate: number,
  standardErrorOfMean: number,
  confidence: interval,
  prediction: interval,
  /** Of the interval for the mean. */
  df: number,
  /** Of the interval for one run, whose variance holds those between groups too. */
  runDf: number,
  varianceSource,
  /** Where a variance is stated: the intervals by the runs alone, null where there are none. */
  without: z.object({ confidence: interval, prediction: interval }).nullable().optional(),
})
export type PredictionResult = z.infer<typeof predictionResult>

/** A prediction beside that at other settings; `standardError` in the response's unit, or of the ratio. */
export const differenceResult = z.object({
  at: settings,
  against: settings,
  kind: z.enum(['difference', 'ratio']),
  estimate: number,
  standardError: number,
  confidence: interval,
  df: number,
})
export type DifferenceResult = z.infer<typeof differenceResult>

/** What a Gaussian process was fitted with, and how it predicts each run from all others. */
export const surfaceFit = z.object({
  kernel: z.enum(['matern52', 'squaredExponential']),
  trend: z.enum(['none', 'constant', 'linear', 'quadratic']),
  noiseFrom: z.enum(['stated', 'replicates', 'estimated']),
  /** In the units of the inputs, as the formula writes them. */
  lengths: z.array(z.object({ input: z.string(), length: number })),
  /** On the scale of the model: `outside` counts the runs outside the prediction interval of the fit's level. */
  leftOut: z.object({ rootMeanSquareError: number, outside: number.int() }),
})

/** The power of the response that fits best, 0 standing for the logarithm. */
export const transformation = z.object({
  lambda: number,
  logLikelihood: number,
  /** Null where the interval goes on beyond ±5. */
  lower: maybe,
  upper: maybe,
  words: z.string(),
})
export type Transformation = z.infer<typeof transformation>

/** The setting of one column at which the fit reaches a target, the others held. */
export const targetSetting = z.object({
  column: z.string(),
  setting: number,
  /** Settings at which the mean may be the target; an end without a bound is null. */
  lower: maybe,
  upper: maybe,
  /** Settings at which one new run may read the target. */
  oneRun: z.object({ lower: maybe, upper: maybe }),
  scope: z.enum(['sameSession', 'otherSession']),
  at: settings,
  words: z.string(),
})
export type TargetSetting = z.infer<typeof targetSetting>

export const fit = z.object({
  n: number.int(),
  df: number,
  dfMethod: z.enum(['residual', 'satterthwaite', 'kenwardRoger']),
  residualStandardDeviation: maybe,
  rSquared: maybe,
  rSquaredAdjusted: maybe,
  rSquaredPredicted: maybe,
  press: maybe,
  logLikelihood: maybe,
  aicc: maybe,
  terms: z.array(
    z.object({
      term: z.string(),
      estimate: number,
      standardError: maybe,
      df: maybe,
      t: maybe,
      p: maybe,
      lower: maybe,
      upper: maybe,
      /** Profile interval of an equation's parameter; null where the profile does not close. */
      profile: z.tuple([maybe, maybe]).optional(),
      /** Null for the constant; absent where the fit is not plain least squares. */
      varianceInflation: maybe.optional(),
    }),
  ),
  notEstimable: z.array(z.object({ term: z.string(), because: z.string() })),
  analysisOfVariance: z.array(
    z.object({
      source: z.string(),
      df: number,
      sumOfSquares: number,
      meanSquare: maybe,
      f: maybe,
      p: maybe,
    }),
  ),
  marginalTests: z.array(z.object({ term: z.string(), df: number, f: maybe, p: maybe })),
  lackOfFit: z.object({ df: number, pureErrorDf: number, f: maybe, p: maybe }).nullable(),
  /** With groups: the same by stratum, outermost first, `residual` last; `denominatorDf` are those of F's error. */
  lackOfFitByStratum: z
    .array(
      z.object({
        stratum: z.string(),
        df: number,
        pureErrorDf: number,
        f: maybe,
        p: maybe,
        denominatorDf: maybe,
      }),
    )
    .optional(),
  varianceComponents: z.array(
    z.object({
      group: z.string(),
      variance: number,
      standardDeviation: number,
      /** Degrees of freedom that these runs leave for it. */
      df: number.optional(),
      source: varianceSource.optional(),
      /** What was stated of it; df null: taken as it is. */
      stated: z.object({ standardDeviation: number, df: maybe }).optional(),
    }),
  ),
  /** Where a variance is stated: half widths of the terms' intervals with it and by the runs alone. */
  statedEffect: z
    .array(z.object({ term: z.string(), halfWidth: number, halfWidthWithout: maybe }))
    .optional(),
  runs: z.array(
    z.object({
      row: number.int(),
      fitted: number,
      residual: number,
      leverage: number,
      studentized: maybe,
      cooksDistance: maybe,
      /** Of a robust fit: how much the run counts, 0 to 1. */
      weight: number.optional(),
    }),
  ),
  predictions: z.array(predictionResult),
  /** Where settings to compare with were given. */
  differences: z.array(differenceResult).optional(),
  stopReason: z.string().optional(),
  transformation: transformation.optional(),
  target: targetSetting.optional(),
  surface: surfaceFit.optional(),
  problems: z.array(problem),
})
export type Fit = z.infer<typeof fit>

/** Models of one measured quantity, on the same rows. */
export const modelComparison = z.object({
  models: z.array(
    z.object({
      model: z.string(),
      terms: number.int(),
      n: number.int(),
      df: number,
      /** Of the measured quantity, whatever the model's scale, so that transformations compare. */
      aicc: maybe,
      aiccAbove: maybe,
      /** Root mean square of left-out predictions less readings, in the measured unit. */
      predictionError: maybe,
      /** The same of the errors as fractions of the readings; null where these are not positive. */
      relativePredictionError: maybe,
      /** What was left out at a time: `run`, or the column of groups. */
      leftOut: z.string(),
      lackOfFit: z.object({ df: number, pureErrorDf: number, f: maybe, p: maybe }).nullable(),
    }),
  ),
  cannotTell: z.array(z.string()),
  /** Rows left out, since some model cannot use them. */
  problems: z.array(problem),
})
export type ModelComparison = z.infer<typeof modelComparison>
