import { z } from 'zod'
import { filmParameters } from '../film-parameters.ts'
import { settings } from '../things.ts'
import { maybe, number } from './numbers.ts'
import { problem } from './problem.ts'

/** So many of so many, with Wilson's 95 % interval for the share. */
export const counted = z.object({
  count: number.int(),
  of: number.int(),
  share: maybe,
  lower: maybe,
  upper: maybe,
})
export type Counted = z.infer<typeof counted>

const spread = z.object({
  mean: number,
  standardDeviation: maybe,
  /** At 5, 25, 50, 75 and 95 %. */
  quantiles: z.array(z.object({ share: number, value: number })),
})
export type Spread = z.infer<typeof spread>

/** One rehearsed study; what it did not come to is null. Lengths in nm. */
export const rehearsedStudy = z.object({
  seed: number.int(),
  /** The setting that it recommends. */
  recipe: maybe,
  /** What the film truly is there, site mean of an ordinary day. */
  trueNm: maybe,
  /** Half widths of its 95 % intervals at the recipe: for the mean on its own days, for a wafer of another day. */
  halfWidthMean: maybe,
  halfWidthAnotherDay: maybe,
  /** Whether those intervals held what they are for; `dayIgnored` is the same-day interval held against another day. */
  coversMean: z.boolean().nullable(),
  coversAnotherDay: z.boolean().nullable(),
  coversDayIgnored: z.boolean().nullable(),
  answers: z.boolean().nullable(),
})
export type RehearsedStudy = z.infer<typeof rehearsedStudy>

/** A plan carried out many times on an invented film. */
export const rehearsal = z.object({
  simulated: z.literal(true),
  times: number.int(),
  seed: number.int(),
  targetNm: number,
  toleranceNm: maybe,
  model: z.string(),
  /** The factor that is solved for, its unit, and the settings of the others. */
  factor: z.string(),
  unit: z.string(),
  at: settings,
  film: filmParameters,
  studies: z.array(rehearsedStudy),
  recipe: spread.nullable(),
  trueThickness: spread.extend({ bias: number }).nullable(),
  /** Recipes whose true film is within the tolerance, of all studies. */
  withinTolerance: counted.nullable(),
  /** Studies that gave a recipe within the planned settings. */
  recipes: counted,
  /** Studies whose interval for a wafer of another day lies within the tolerance. */
  answered: counted.nullable(),
  /** Medians of the half widths, nm. */
  halfWidths: z.object({ mean: maybe, anotherDay: maybe }),
  coverage: z.object({ mean: counted, anotherDay: counted, dayIgnored: counted }),
  words: z.array(z.string()),
  problems: z.array(problem),
})
export type Rehearsal = z.infer<typeof rehearsal>
