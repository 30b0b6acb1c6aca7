import { tQuantile, tTwoSided } from '../model/distributions.ts'
import type { Change } from './change.ts'
import type { Stretch } from './stretches.ts'

/** A steady change per unit of what it is measured along. */
export type Trend = {
  slope: number
  standardError: number
  df: number
  lower: number
  upper: number
  p: number
  /** Of one reading about the lines. */
  sigma: number
  /** Sum of squares of x about its means in the stretches. */
  sxx: number
}

/**
 * The slope that all stretches share, each with a level of its own: least squares of y on x within stretches, as the
 * analysis of covariance has it.
 *
 * @returns null where no stretch holds two different x, or no degree of freedom is left
 */
export function trendWithin(
  x: readonly number[],
  y: readonly number[],
  stretches: readonly Stretch[],
  level = 0.95,
): Trend | null {
  let [sxx, sxy, syy, df] = [0, 0, 0, -1]
  for (const { from, to } of stretches) {
    const [xs, ys] = [x.slice(from, to), y.slice(from, to)]
    const [mx, my] = [meanOf(xs), meanOf(ys)]
    df += Math.max(0, xs.length - 1)
    xs.forEach((value, i) => {
      const [dx, dy] = [value - mx, (ys[i] as number) - my]
      sxx += dx * dx
      sxy += dx * dy
      syy += dy * dy
    })
  }
  if (!(sxx > 0) || df < 1) return null
  const slope = sxy / sxx
  const sigma = Math.sqrt(Math.max(0, syy - slope * sxy) / df)
  const standardError = sigma / Math.sqrt(sxx)
  const reach = tQuantile((1 + level) / 2, df) * standardError
  return {
    slope,
    standardError,
    df,
    lower: slope - reach,
    upper: slope + reach,
    p: standardError === 0 ? Number(slope === 0) : tTwoSided(slope / standardError, df),
    sigma,
    sxx,
  }
}

/**
 * By how much the second of two stretches lies above the first when the trend is taken out: the distance between their
 * parallel lines, as the analysis of covariance has it, with the slope and the scatter of all stretches.
 *
 * @returns null where a stretch holds no reading
 */
export function changeBeyond(
  x: readonly number[],
  y: readonly number[],
  [before, after]: readonly [Stretch, Stretch],
  { slope, sigma, sxx, df }: Trend,
  level = 0.95,
): Omit<Change, 'before' | 'after'> | null {
  const counts = [before, after].map(({ from, to }) => to - from)
  if (counts.includes(0)) return null
  const step = (values: readonly number[]) =>
    meanOf(values.slice(after.from, after.to)) - meanOf(values.slice(before.from, before.to))
  const along = step(x)
  const change = step(y) - slope * along
  const standardError = sigma * Math.sqrt(counts.reduce((sum, n) => sum + 1 / n, along ** 2 / sxx))
  const reach = tQuantile((1 + level) / 2, df) * standardError
  return {
    change,
    standardError,
    df,
    lower: change - reach,
    upper: change + reach,
    p: standardError === 0 ? Number(change === 0) : tTwoSided(change / standardError, df),
  }
}

/** The level of a line at the end of the last stretch, with its error: its mean, moved along the slope to the last x. */
export function levelNow(
  x: readonly number[],
  y: readonly number[],
  stretch: Stretch,
  { slope, standardError, sigma, df }: Pick<Trend, 'slope' | 'standardError' | 'sigma' | 'df'>,
): { estimate: number; standardError: number; df: number } {
  const [xs, ys] = [x.slice(stretch.from, stretch.to), y.slice(stretch.from, stretch.to)]
  const move = (xs.at(-1) ?? 0) - meanOf(xs)
  return {
    estimate: meanOf(ys) + slope * move,
    standardError: Math.hypot(sigma / Math.sqrt(ys.length), standardError * move),
    df,
  }
}

const meanOf = (values: readonly number[]) =>
  values.reduce((sum, value) => sum + value, 0) / Math.max(1, values.length)
