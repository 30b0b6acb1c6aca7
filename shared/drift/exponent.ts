import type { SpeedExponent } from '../contract/recipes.ts'
import type { Settings } from '../contract/things.ts'
import { slopeToMeasured, toMeasured } from '../model/response.ts'
import type { Predictor } from '../next/predictor.ts'

/** Half the step in ln speed over which the slope is taken: the curve of ln thickness is straight over so little. */
const step = 0.005

/**
 * By how much ln thickness falls as ln speed rises at a setting: the local exponent b of thickness ∝ speed^−b, for the
 * tools and the range that were run, with its error by the covariance of the two means.
 *
 * @returns null where the speed is no number, the model does not predict there, or does not hold the speed
 */
export function exponentAt(
  predictor: Predictor,
  settings: Settings,
  speedName: string,
): SpeedExponent | null {
  const speed = settings[speedName]
  if (typeof speed !== 'number' || !(speed > 0)) return null
  if (!predictor.columns.some(({ name }) => name === speedName)) return null
  const [low, high] = [-step, step].map((move) =>
    predictor.at({ ...settings, [speedName]: speed * Math.exp(move) }),
  )
  if (!low || !high) return null
  const { scale } = predictor
  // How ln thickness moves with the model's own scale at each end.
  const [atLow, atHigh] = [low, high].map(
    ({ mean }) => slopeToMeasured(scale, mean) / toMeasured(scale, mean),
  ) as [number, number]
  const value = -(Math.log(toMeasured(scale, high.mean)) - Math.log(toMeasured(scale, low.mean))) / (2 * step)
  const apart = high.whitened.map((each, i) => atHigh * each - atLow * (low.whitened[i] ?? 0))
  return Number.isFinite(value)
    ? { value, standardError: Math.hypot(...apart) / (2 * step), df: high.df }
    : null
}
