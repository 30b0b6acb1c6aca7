import { z } from 'zod'
import { settings } from '../things.ts'
import { maybe, number } from './numbers.ts'
import { budget } from './plan.ts'

/** What a set of runs can tell of the model, variances in σ² of a run; null where a term cannot be estimated. */
const telling = z.object({
  runs: number.int(),
  dEfficiency: maybe,
  averagePredictionVariance: maybe,
  residualDf: number.int(),
})
export type Telling = z.infer<typeof telling>

/** A plan broken on the day: what can still be estimated, and the best runs for what is left. */
export const replanned = z.object({
  /** Runs that are coated or read and count, and how many more are made. */
  done: number.int(),
  remaining: number.int(),
  /** The model of the plan in coded factors, and what of it the proposal is made for. */
  model: z.string(),
  keptModel: z.string(),
  /** Whether each term can be estimated by the plan, by the runs done with those still planned, by the proposal. */
  terms: z.array(
    z.object({
      term: z.string(),
      planned: z.boolean(),
      rest: z.boolean(),
      proposed: z.boolean(),
      /** Why the proposal does not estimate it. */
      why: z.enum(['settings', 'runs']).nullable(),
    }),
  ),
  /** For the kept model: the whole plan, runs done with those still planned, runs done with the proposal. */
  planned: telling,
  rest: telling,
  proposed: telling,
  /** Runs planned and not done: whether they are among those that can still be made as they are. */
  old: z.array(
    z.object({
      runId: z.uuid(),
      code: z.string(),
      settings,
      plateVisit: number.int().nullable(),
      fits: z.enum(['yes', 'settings', 'runs']),
    }),
  ),
  /** In the order in which they are to be made; visits count on from those of the study. */
  runs: z.array(z.object({ settings, plateVisit: number.int().nullable() })),
  budget,
  words: z.array(z.string()),
})
export type Replanned = z.infer<typeof replanned>
