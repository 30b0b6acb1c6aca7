import { z } from 'zod'
import { settings } from '../things.ts'
import { maybe, number } from './numbers.ts'

export const doubtKinds = [
  'outlying run',
  'exchanged wafers',
  'drift in run order',
  'neighbours alike',
  'plate visit',
  'recorded cause',
  'lack of fit',
] as const

/** One reason to doubt a fit, with what it would change. */
export const doubt = z.object({
  kind: z.enum(doubtKinds),
  sentence: z.string(),
  /** Chance of as much where nothing is wrong; null where none can be given. */
  p: maybe,
  /** What was recorded that may be the reason, and what would settle it. */
  reasons: z.array(z.string()),
  /** The runs to look at. */
  runIds: z.array(z.string()),
  /** The prediction at the place below without what is doubted; null where there is none. */
  without: maybe,
})
export type Doubt = z.infer<typeof doubt>

/** What there is to doubt in a fit by least squares. */
export const doubts = z.object({
  doubts: z.array(doubt),
  /** What was looked for and not found, with its p, in sentences. */
  clear: z.array(z.string()),
  /** What these runs cannot tell, and why. */
  notJudged: z.array(z.string()),
  /** Where predictions are compared: at the target where the model reaches it, else in the middle of the runs. */
  at: settings,
  /** Prediction there by all runs, in the response's unit. */
  estimate: maybe,
  /** What the recorded values explain, the best first. */
  explained: z.array(z.object({ name: z.string(), share: number, withRunOrder: maybe, missing: number })),
})
export type Doubts = z.infer<typeof doubts>
