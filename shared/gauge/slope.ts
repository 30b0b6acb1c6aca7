import { fitModel } from '../model/fit.ts'

/** Fewer points say nothing of a slope that one would act on. */
const leastPoints = 4

/**
 * The slope of the least-squares line of y on x with its two-sided interval and p.
 *
 * @returns null with fewer than four points, where all stand at one x, or where the line goes through every point
 */
export function slopeOf(
  x: readonly number[],
  y: readonly number[],
  level: number,
): { value: number; interval: [number, number]; p: number } | null {
  if (x.length < leastPoints) return null
  const table = {
    rows: x.length,
    columns: [
      { name: 'x', values: [...x] },
      { name: 'y', values: [...y] },
    ],
  }
  const fit = fitModel({ table, model: 'y ~ x', level })
  const slope = fit.ok ? fit.value.report().terms.find(({ term }) => term === 'x') : undefined
  if (!slope || slope.lower === null || slope.upper === null || slope.p === null) return null
  return { value: slope.estimate, interval: [slope.lower, slope.upper], p: slope.p }
}
