import { z } from 'zod'
import { maybe, number } from './numbers.ts'

export const nonUniformity = z.object({
  halfRangeOverMean: maybe,
  halfRangeOverMidRange: maybe,
  rangeOverMean: maybe,
  halfRangeOverMaximum: maybe,
  rangeOverMaximum: maybe,
  standardDeviationOverMean: maybe,
  threeStandardDeviationsOverMean: maybe,
  /** With n in place of n − 1. */
  standardDeviationOfAllOverMean: maybe,
})
export type NonUniformity = z.infer<typeof nonUniformity>

export const filmShape = z.object({
  bowl: maybe,
  ring: maybe,
  wedgeX: maybe,
  wedgeY: maybe,
  rest: maybe,
  wedge: maybe,
  /** Degrees counter-clockwise from +x, 0 ≤ d < 360. */
  wedgeDirection: maybe,
})
export type FilmShape = z.infer<typeof filmShape>

/** One part of the uncertainty of a mean, in the unit of the readings; null degrees of freedom: infinitely many. */
export const uncertaintyPart = z.object({
  name: z.enum(['sites', 'repeatability', 'reload', 'calibration']),
  value: number,
  df: maybe,
})
export type UncertaintyPart = z.infer<typeof uncertaintyPart>

export const filmUncertainty = z.object({
  parts: z.array(uncertaintyPart),
  /** The combined standard uncertainty, with its effective degrees of freedom. */
  standard: number,
  df: maybe,
})
export type FilmUncertainty = z.infer<typeof filmUncertainty>

export const filmSummary = z.object({
  id: z.string(),
  n: number.int(),
  mean: maybe,
  areaWeightedMean: maybe,
  standardDeviation: maybe,
  /** Of the mean, from the scatter of the sites alone. */
  standardUncertainty: maybe,
  /** Of the mean, with what is known of the gauge. */
  uncertainty: filmUncertainty.nullable(),
  nonUniformity,
  shape: filmShape,
  excluded: z.array(z.object({ row: number.int(), reason: z.string() })),
  /** The same with every reading above zero, where some of those are left out. */
  withExcluded: z
    .object({ n: number.int(), mean: maybe, standardDeviation: maybe, nonUniformity })
    .nullable(),
})
export type FilmSummary = z.infer<typeof filmSummary>
