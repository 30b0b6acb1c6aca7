import { z } from 'zod'
import { readingStage } from '../things.ts'
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

/** Readings that were taken after another step than the target is meant after: they are no part of the film here. */
export const otherStage = z.object({ takenAfter: readingStage, count: number.int() })
export type OtherStage = z.infer<typeof otherStage>

/** What repeated readings at the sites of one film say of the gauge, in the unit of the readings. */
export const measuredRepeatability = z.object({
  /** Pooled over the sites, with its degrees of freedom. */
  standardDeviation: number,
  df: number.int(),
  /** Whether it is greater than the gauge's stated one by more than chance (99 %); null where none is stated. */
  exceedsGauge: z.boolean().nullable(),
})
export type MeasuredRepeatability = z.infer<typeof measuredRepeatability>

export const filmSummary = z.object({
  id: z.string(),
  /** Sites that count; the value of one is the mean of its counting repeats. */
  n: number.int(),
  mean: maybe,
  areaWeightedMean: maybe,
  standardDeviation: maybe,
  /** Of the mean, from the scatter of the sites alone. */
  standardUncertainty: maybe,
  /** Of the mean, with what is known of the gauge. */
  uncertainty: filmUncertainty.nullable(),
  /** From repeated readings; null where no site has two. */
  repeatability: measuredRepeatability.nullable(),
  otherStages: z.array(otherStage),
  nonUniformity,
  shape: filmShape,
  /** By what distances from the centre are divided for the shape, mm: half the diagonal of a rectangle. */
  shapeRadius: maybe,
  excluded: z.array(z.object({ row: number.int(), reason: z.string() })),
  /** The same with every reading above zero, where some of those are left out. */
  withExcluded: z
    .object({ n: number.int(), mean: maybe, standardDeviation: maybe, nonUniformity })
    .nullable(),
})
export type FilmSummary = z.infer<typeof filmSummary>
