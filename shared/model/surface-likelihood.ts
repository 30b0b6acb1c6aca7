import { correlation, correlationSlope, type KernelKind } from './kernel.ts'
import type { Orthonormal } from './orthonormal.ts'
import {
  cholesky,
  inner,
  inverseOf,
  logDeterminantOf,
  solveLower,
  solveSymmetric,
  times,
} from './symmetric.ts'

/** Runs as a Gaussian process sees them: the fit of the trend, and the settings. */
export type SurfaceData = Orthonormal & {
  kernel: KernelKind
  /** By input: the settings of the runs. */
  inputs: Float64Array[]
}

/** Variances in units of the trend's residual variance; lengths in the units of the inputs. */
export type SurfaceParameters = { lengths: number[]; surface: number; noise: number }

/** The process given its parameters. */
export type SurfacePoint = {
  /** Log-likelihood of what the trend leaves free, but for constants. */
  value: number
  /** Lower Cholesky factor of the covariance of the runs. */
  factor: Float64Array
  /** Covariance⁻¹·Q, column after column, and (Q′·covariance⁻¹·Q)⁻¹. */
  onTrend: Float64Array[]
  trendCovariance: Float64Array
  trend: Float64Array
  /** P·y with P = covariance⁻¹ − what the trend takes. */
  pulled: Float64Array
}

/** Σ over the inputs of (Δ/length)² for runs i > j, and their covariance. */
function covarianceOf({ kernel, inputs, rows }: SurfaceData, { lengths, surface, noise }: SurfaceParameters) {
  const squares = new Float64Array(rows * rows)
  inputs.forEach((values, d) => {
    const scale = 1 / lengths[d]!
    for (let j = 0; j < rows; j++)
      for (let i = j + 1; i < rows; i++) squares[i + j * rows]! += ((values[i]! - values[j]!) * scale) ** 2
  })
  const covariance = new Float64Array(rows * rows)
  for (let j = 0; j < rows; j++) {
    covariance[j + j * rows] = surface + noise
    for (let i = j + 1; i < rows; i++)
      covariance[i + j * rows] = surface * correlation(kernel, squares[i + j * rows]!)
  }
  return { squares, covariance }
}

/** The process at these parameters; null where the covariance cannot be inverted. */
export function surfaceAt(data: SurfaceData, parameters: SurfaceParameters): SurfacePoint | null {
  return pointOf(data, covarianceOf(data, parameters).covariance)
}

function pointOf({ rows, p, entries }: SurfaceData, covariance: Float64Array): SurfacePoint | null {
  const factor = cholesky(covariance, rows)
  if (!factor || isLost(factor, covariance, rows)) return null
  const size = p + 1
  const column = (k: number) => Float64Array.from({ length: rows }, (_, i) => entries[i * size + k]!)
  const q = Array.from({ length: p }, (_, k) => column(k))
  const y = column(p)
  const onTrend = q.map((own) => solveSymmetric(factor, rows, own))
  const products = new Float64Array(p * p)
  for (let j = 0; j < p; j++) for (let i = 0; i < p; i++) products[i + j * p] = inner(q[i]!, onTrend[j]!)
  const trendFactor = cholesky(products, p)
  if (!trendFactor) return null
  const trend = solveSymmetric(
    trendFactor,
    p,
    onTrend.map((own) => inner(own, y)),
  )
  const left = y.map((value, i) => value - q.reduce((sum, own, k) => sum + own[i]! * trend[k]!, 0))
  const pulled = solveSymmetric(factor, rows, left)
  const deviance = logDeterminantOf(factor, rows) + logDeterminantOf(trendFactor, p) + inner(left, pulled)
  return {
    value: -0.5 * ((rows - p) * Math.log(2 * Math.PI) + deviance),
    factor,
    onTrend,
    trendCovariance: inverseOf(trendFactor, p),
    trend,
    pulled,
  }
}

/** Whether rounding has eaten what a run tells beyond the runs before it: settings are equal, and there is no noise. */
function isLost(factor: Float64Array, covariance: Float64Array, rows: number): boolean {
  const least = rows * Number.EPSILON
  for (let at = 0; at < factor.length; at += rows + 1)
    if (factor[at]! ** 2 <= least * covariance[at]!) return true
  return false
}

/**
 * The likelihood with its slopes by the logarithms of the lengths, of the surface's variance and of the noise's,
 * ½·tr[(P·y·y′·P − P)·∂covariance] (Rasmussen & Williams, section 5.4; with a trend, its part integrated out).
 */
export function surfaceSlopes(
  data: SurfaceData,
  parameters: SurfaceParameters,
): { point: SurfacePoint; slopes: Float64Array } | null {
  const { rows, inputs, kernel } = data
  const { lengths, surface, noise } = parameters
  const { squares, covariance } = covarianceOf(data, parameters)
  const point = pointOf(data, covariance)
  if (!point) return null
  const projection = projectionOf(data, point)
  const slopes = new Float64Array(inputs.length + 2)
  const { pulled } = point
  let [ofSurface, ofNoise] = [0, 0]
  for (let j = 0; j < rows; j++) {
    const own = pulled[j]! ** 2 - projection[j + j * rows]!
    ofNoise += own
    ofSurface += own * surface
    for (let i = j + 1; i < rows; i++) {
      const at = i + j * rows
      // Twice: the lower triangle stands for both.
      const weight = 2 * (pulled[i]! * pulled[j]! - projection[at]!)
      ofSurface += weight * covariance[at]!
      const slope = weight * surface * correlationSlope(kernel, squares[at]!)
      for (let d = 0; d < inputs.length; d++)
        slopes[d]! += slope * ((inputs[d]![i]! - inputs[d]![j]!) / lengths[d]!) ** 2
    }
  }
  slopes[inputs.length] = ofSurface
  slopes[inputs.length + 1] = ofNoise * noise
  return { point, slopes: slopes.map((value) => value / 2) }
}

/** P = covariance⁻¹ − covariance⁻¹·Q·(Q′·covariance⁻¹·Q)⁻¹·Q′·covariance⁻¹. */
export function projectionOf({ rows, p }: SurfaceData, point: SurfacePoint): Float64Array {
  const result = inverseOf(point.factor, rows)
  const { onTrend, trendCovariance } = point
  for (let k = 0; k < p; k++) {
    const turned = new Float64Array(rows)
    for (let l = 0; l < p; l++)
      for (let i = 0; i < rows; i++) turned[i]! += trendCovariance[l + k * p]! * onTrend[l]![i]!
    for (let j = 0; j < rows; j++) {
      const factor = onTrend[k]![j]!
      for (let i = 0; i < rows; i++) result[i + j * rows]! -= turned[i]! * factor
    }
  }
  return result
}

/**
 * Mean and variance of the surface itself (without noise) at new settings.
 *
 * @param onQ the trend's row there, on Q
 */
export function surfaceMean(
  { rows, p, kernel, inputs }: SurfaceData,
  { lengths, surface }: SurfaceParameters,
  point: SurfacePoint,
  at: { settings: number[]; onQ: ArrayLike<number> },
): { mean: number; variance: number } {
  const covariances = new Float64Array(rows)
  for (let i = 0; i < rows; i++) {
    let square = 0
    for (let d = 0; d < inputs.length; d++) square += ((inputs[d]![i]! - at.settings[d]!) / lengths[d]!) ** 2
    covariances[i] = surface * correlation(kernel, square)
  }
  const half = solveLower(point.factor, rows, covariances)
  const left = Float64Array.from({ length: p }, (_, k) => at.onQ[k]! - inner(point.onTrend[k]!, covariances))
  const mean = inner(covariances, point.pulled) + inner(Float64Array.from(at.onQ), point.trend)
  const variance = surface - inner(half, half) + inner(left, times(point.trendCovariance, p, left))
  return { mean, variance: Math.max(0, variance) }
}
