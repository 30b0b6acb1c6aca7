import type { PredictionResult } from '../contract/results/fit.ts'
import type { Settings } from '../contract/things.ts'
import { type Answer, good, refuse } from '../problem.ts'
import { intervalToMeasured, type ResponseScale, slopeToMeasured, toMeasured } from './response.ts'

/** A prediction on the model's scale: its mean, and how far intervals reach to either side. */
export type OnModelScale = {
  scale: ResponseScale
  at: Settings
  scope: PredictionResult['scope']
  /** The session of the data that it is for, where there is one. */
  session?: string
  eta: number
  standardError: number
  /** Half widths of the intervals for the mean and for one new run. */
  meanReach: number
  runReach: number
  df: number
  /** Of the interval for one run; those of the mean unless given. */
  runDf?: number
  varianceSource: PredictionResult['varianceSource']
}

/**
 * The prediction in the response's own unit: under a transformed response the estimate is the median, and the
 * intervals are those of the model's scale carried back.
 *
 * @returns a problem with code `unboundedPrediction` where the scale has no way back
 */
export function inOwnUnit(prediction: OnModelScale): Answer<PredictionResult> {
  const {
    scale,
    at,
    scope,
    session,
    eta,
    standardError,
    meanReach,
    runReach,
    df,
    runDf = df,
    varianceSource,
  } = prediction
  const around = (reach: number) => intervalToMeasured(scale, [eta - reach, eta + reach])
  const estimate = toMeasured(scale, eta)
  const confidence = around(meanReach)
  const interval = around(runReach)
  if (!confidence || !interval || !Number.isFinite(estimate))
    return refuse(
      'unboundedPrediction',
      `The model’s scale of ${scale.name} gives no bounded interval at these settings.`,
    )
  return good({
    at,
    scope,
    ...(session === undefined ? {} : { session }),
    estimate,
    standardErrorOfMean: slopeToMeasured(scale, eta) * standardError,
    confidence,
    prediction: interval,
    df,
    runDf,
    varianceSource,
  })
}
