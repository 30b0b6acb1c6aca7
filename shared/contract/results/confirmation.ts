import { z } from 'zod'
import { nonUniformityFormula, settings } from '../things.ts'
import { predictionResult } from './fit.ts'
import { setErrors } from './next.ts'
import { interval, maybe, number } from './numbers.ts'

/** What a recipe is held to, written down before its confirmation runs are made. In the response's own unit. */
export const confirmationRecord = z.object({
  settings,
  model: z.string(),
  response: z.string(),
  dataHash: z.string(),
  scope: predictionResult.shape.scope,
  target: number,
  tolerance: number,
  /** Percent, by the formula; null where no limit is set. */
  uniformityLimit: maybe,
  uniformityFormula: nonUniformityFormula,
  /** To be in tolerance: in thickness, in evenness (null where it is not known), and in both. */
  chance: z.object({ thickness: number, evenness: maybe, both: number }),
  level: number,
  runsByDay: z.array(number.int()),
  estimate: number,
  /** On the model's scale. */
  errors: setErrors,
  /** For one wafer by itself, and for the whole set at once. */
  single: interval,
  simultaneous: interval,
  /** How the model's response goes with the logarithm of the speed at the recipe; null where none is set. */
  speed: z.object({ factor: z.string(), at: number, slope: number, standardError: number }).nullable(),
})
export type ConfirmationRecord = z.infer<typeof confirmationRecord>

export const confirmationRun = z.object({
  code: z.string(),
  session: z.string().nullable(),
  state: z.enum(['waiting', 'left out', 'measured']),
  measured: maybe,
  /** Percent; null where it is not known. */
  evenness: maybe,
  /** In the interval for the whole set; in tolerance in thickness, and in evenness. Null where it is not known. */
  inside: z.boolean().nullable(),
  inTolerance: z.boolean().nullable(),
  even: z.boolean().nullable(),
})
export type ConfirmationRun = z.infer<typeof confirmationRun>

export const confirmationJudgement = z.object({
  verdict: z.enum(['not yet', 'passed', 'not passed']),
  runs: z.array(confirmationRun),
  /** Of the measured wafers those in tolerance in all that is asked, and the least share of all wafers that shows. */
  good: z.object({ count: number.int(), of: number.int(), leastShare: number, confidence: number }),
  /** Holds so large a share of all wafers of the recipe with that confidence; null before two are measured. */
  release: z
    .object({
      interval,
      share: number,
      confidence: number,
      df: number,
      days: number.int(),
      within: z.boolean(),
    })
    .nullable(),
  /** Mean error as a share of what was predicted; where it is more than chance, the speed that makes good for it. */
  bias: z
    .object({
      share: number,
      significant: z.boolean(),
      /** Exact, and as the coater can be set to it. */
      speed: z
        .object({ factor: z.string(), at: number, set: maybe, lower: number, upper: number })
        .nullable(),
    })
    .nullable(),
  /** What it comes to, and what to do next. */
  words: z.array(z.string()),
})
export type ConfirmationJudgement = z.infer<typeof confirmationJudgement>
