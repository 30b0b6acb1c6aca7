import { z } from 'zod'
import { settings } from '../things.ts'
import { varianceSource } from './fit.ts'
import { interval, maybe, number } from './numbers.ts'
import { problem } from './problem.ts'

export const runCost = z.object({ minutes: number, resistMl: number, plateChange: z.boolean() })

export const choice = z.object({
  settings,
  /** What the choice is good for. */
  aim: z.enum(['reach', 'learn', 'both']),
  estimate: number,
  standardErrorOfMean: number,
  prediction: z.object({ sameSession: interval, otherSession: interval.nullable() }),
  chanceInTolerance: z.object({ sameSession: number, otherSession: maybe }),
  varianceSource,
  /** True beyond the tested region. */
  extrapolates: z.boolean(),
  reason: z.string(),
  cost: runCost,
})
export type Choice = z.infer<typeof choice>

export const recommendation = z.object({
  choices: z.array(choice),
  /** Why some of the aims that were asked for have no choice. */
  problems: z.array(problem),
})
export type Recommendation = z.infer<typeof recommendation>
