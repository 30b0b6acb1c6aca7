import { z } from 'zod'
import { settings } from '../things.ts'
import { predictionResult, varianceSource } from './fit.ts'
import { interval, maybe, number } from './numbers.ts'
import { problem } from './problem.ts'

export const runCost = z.object({ minutes: number, resistMl: number, plateChange: z.boolean() })

/** Where an error of a set of future runs comes from, as variances on the model's scale. */
export const setErrors = z.object({
  /** Common to all: that of the fitted mean. */
  common: number,
  /** Of each day, shared by its runs. */
  day: number,
  /** Of each run. */
  run: number,
  /** Degrees of freedom behind the sum of these. */
  df: number,
})
export type SetErrors = z.infer<typeof setErrors>

export const choice = z.object({
  settings,
  /** What the choice is good for. */
  aim: z.enum(['reach', 'learn', 'both']),
  /** Whether it is chosen for a run on another day, or for one in the sessions of the data. */
  scope: predictionResult.shape.scope,
  /** In that scope. */
  estimate: number,
  standardErrorOfMean: number,
  /** In the session worked in last, where its effect is told apart from those of other sessions. */
  present: z
    .object({ session: z.string().nullable(), estimate: number, standardErrorOfMean: number })
    .nullable(),
  /** For a run in that session, and in another one; null where the runs and what is stated cannot tell. */
  prediction: z.object({ sameSession: interval.nullable(), otherSession: interval.nullable() }),
  chanceInTolerance: z.object({ sameSession: maybe, otherSession: maybe }),
  /** Of a run in that scope. */
  errors: setErrors,
  varianceSource,
  /** The average standard error of the mean over the region in words, now and after this run. */
  known: z.object({ before: z.string(), after: z.string() }),
  /** True beyond the tested region. */
  extrapolates: z.boolean(),
  reason: z.string(),
  cost: runCost,
})
export type Choice = z.infer<typeof choice>

/**
 * Standard errors of the mean along one factor, in the response's own unit, the other factors as in `at`: now, and after
 * each of the choices.
 */
export const knownAlong = z.object({
  factor: z.string(),
  unit: z.string(),
  at: settings,
  /** Whether the runs are taken as made in the present session, or on a day of their own. */
  scope: predictionResult.shape.scope,
  points: z.array(z.object({ x: number, now: number, after: z.array(number) })),
})
export type KnownAlong = z.infer<typeof knownAlong>

export const recommendation = z.object({
  choices: z.array(choice),
  /** How each choice moves what is known of the curve; null where there is no factor to walk along. */
  known: knownAlong.nullable(),
  /** Why some of the aims that were asked for have no choice. */
  problems: z.array(problem),
})
export type Recommendation = z.infer<typeof recommendation>

/** Runs to be made together, in their order. Each costs what it costs after the one before it. */
export const batch = z.object({
  choices: z.array(choice),
  /** Of the whole batch. */
  minutes: number,
  resistMl: number,
  plateChanges: number.int(),
  /** The average standard error of the mean over the region in words, now and after all of them. */
  known: z.object({ before: z.string(), after: z.string() }),
  /** Why there are fewer than were asked for. */
  problems: z.array(problem),
})
export type Batch = z.infer<typeof batch>
