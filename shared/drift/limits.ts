/** Mean of the range of two normal observations in units of σ: 2/√π (NIST/SEMATECH e-Handbook, 6.3.2.2). */
const rangeOfTwo = 2 / Math.sqrt(Math.PI)

/** With fewer points limits are provisional (common practice, no source). */
export const settledPoints = 30

/** Centre and scatter of a chart of individual values, from the points that set its limits. */
export type ChartLimits = {
  centre: number
  /** From the mean moving range: what lies between neighbours, so that a slow drift does not widen it. */
  sigma: number
  /** centre ± 3·sigma. */
  lower: number
  upper: number
  meanMovingRange: number
  /** Above which one moving range is unusual. */
  movingRangeUpper: number
  points: number
  provisional: boolean
}

/**
 * Limits of individuals and moving range (NIST/SEMATECH e-Handbook, 6.3.2.2), with the exact constants: centre
 * ± 3·MR̄/d₂ and, for the moving range, (1 + 3·d₃/d₂)·MR̄ with d₂ = 2/√π and d₃ = √(2 − 4/π).
 *
 * @param values one a session, in the order of time; the same unit comes out
 * @returns null with fewer than two values, or where all are equal
 */
export function limitsOf(values: readonly number[]): ChartLimits | null {
  const points = values.length
  if (points < 2) return null
  const centre = values.reduce((sum, value) => sum + value, 0) / points
  const ranges = values.slice(1).map((value, i) => Math.abs(value - (values[i] as number)))
  const meanMovingRange = ranges.reduce((sum, range) => sum + range, 0) / ranges.length
  if (meanMovingRange === 0) return null
  const sigma = meanMovingRange / rangeOfTwo
  return {
    centre,
    sigma,
    lower: centre - 3 * sigma,
    upper: centre + 3 * sigma,
    meanMovingRange,
    movingRangeUpper: (1 + (3 * Math.sqrt(2 - 4 / Math.PI)) / rangeOfTwo) * meanMovingRange,
    points,
    provisional: points < settledPoints,
  }
}
