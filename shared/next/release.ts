import type { SetErrors } from '../contract/results/next.ts'
import { meanOf } from '../means.ts'
import { toleranceFactor } from './confirmation.ts'

/** Values of one day. */
export type Day = readonly number[]

const sumOf = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0)

/** Of a set made on several days: the mean, and what share the variance of a wafer has in that of the mean. */
export function setMean(
  days: readonly Day[],
  { day, run }: Pick<SetErrors, 'day' | 'run'>,
): { mean: number; variance: number } {
  const n = sumOf(days.map(({ length }) => length))
  const squares = sumOf(days.map(({ length }) => length ** 2))
  return { mean: meanOf(days.flat()), variance: (day * squares) / n ** 2 + run / n }
}

/**
 * Variance of one wafer over days by the days themselves: from the mean squares between and within them, with
 * Satterthwaite's degrees of freedom (one-way components of variance: Searle, Casella & McCulloch, Variance Components,
 * 1992, chapter 3, from memory); null for less than two days.
 */
export function waferVariance(days: readonly Day[]): { variance: number; df: number } | null {
  const k = days.length
  if (k < 2) return null
  const n = sumOf(days.map(({ length }) => length))
  const mean = meanOf(days.flat())
  const between = sumOf(days.map((day) => day.length * (meanOf(day) - mean) ** 2)) / (k - 1)
  const within =
    n > k ? sumOf(days.map((day) => sumOf(day.map((value) => (value - meanOf(day)) ** 2)))) / (n - k) : 0
  const size = (n - sumOf(days.map(({ length }) => length ** 2)) / n) / (k - 1)
  const parts = [
    { variance: between / size, df: k - 1 },
    { variance: (1 - 1 / size) * within, df: n - k },
  ].filter(({ variance }) => variance > 0)
  const variance = sumOf(parts.map((part) => part.variance))
  if (variance === 0) return { variance: 0, df: n - 1 }
  return { variance, df: variance ** 2 / sumOf(parts.map((part) => part.variance ** 2 / part.df)) }
}

/**
 * The tolerance interval of a confirmed recipe: its mean by the wafers of the confirmation, the variance of a wafer over
 * days by the study and the confirmation together, each by its degrees of freedom. The mean counts as that of so many
 * independent wafers as have its variance (Hoffman & Kringle, J. Biopharmaceutical Statistics 15, 2005, for intervals
 * over random effects, from memory).
 *
 * @param days of the confirmation, on the model's scale
 * @param errors of the study at the recipe; their degrees of freedom are taken for the variance of a wafer
 */
export function releaseInterval(options: {
  days: readonly Day[]
  errors: SetErrors
  share: number
  confidence: number
}): { lower: number; upper: number; df: number; variance: number } {
  const { days, errors, share, confidence } = options
  const study = { variance: errors.day + errors.run, df: errors.df }
  const known = [study, ...[waferVariance(days) ?? []].flat()]
  const df = sumOf(known.map((one) => one.df))
  const variance = sumOf(known.map((one) => one.variance * one.df)) / df
  const mean = setMean(days, errors)
  const wafers = study.variance / mean.variance
  const reach = toleranceFactor(wafers, df, share, confidence) * Math.sqrt(variance)
  return { lower: mean.mean - reach, upper: mean.mean + reach, df, variance }
}
