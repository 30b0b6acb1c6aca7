import type { Counted, Spread } from './contract/results/rehearsal.ts'

/** 97.5 % point of the standard normal distribution. */
const z = 1.959963984540054

/**
 * A count with Wilson's 95 % interval for the share behind it (E. B. Wilson, Journal of the American Statistical
 * Association 22, 1927), which keeps its size also near 0 and 1.
 */
export function counted(answers: readonly (boolean | null)[]): Counted {
  const given = answers.filter((answer) => answer !== null)
  const of = given.length
  const count = given.filter(Boolean).length
  if (of === 0) return { count, of, share: null, lower: null, upper: null }
  const share = count / of
  const middle = (share + z ** 2 / (2 * of)) / (1 + z ** 2 / of)
  const reach = (z / (1 + z ** 2 / of)) * Math.sqrt((share * (1 - share)) / of + z ** 2 / (4 * of ** 2))
  return { count, of, share, lower: Math.max(0, middle - reach), upper: Math.min(1, middle + reach) }
}

const shares = [0.05, 0.25, 0.5, 0.75, 0.95]

/** Mean, standard deviation and quantiles; null where there is no value. */
export function spreadOf(values: readonly number[]): Spread | null {
  const n = values.length
  if (n === 0) return null
  const mean = values.reduce((sum, value) => sum + value, 0) / n
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0)
  return {
    mean,
    standardDeviation: n > 1 ? Math.sqrt(squares / (n - 1)) : null,
    quantiles: shares.map((share) => ({ share, value: quantile(values, share) as number })),
  }
}

/**
 * The value below which a share of the values lies, straight between neighbours (R. J. Hyndman & Y. Fan, The American
 * Statistician 50, 1996, definition 7); null without values.
 */
export function quantile(values: readonly number[], share: number): number | null {
  const sorted = [...values].sort((a, b) => a - b)
  const place = (sorted.length - 1) * share
  const below = sorted[Math.floor(place)]
  const above = sorted[Math.ceil(place)]
  if (below === undefined || above === undefined) return null
  return below + (place - Math.floor(place)) * (above - below)
}
