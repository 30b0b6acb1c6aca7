import { z } from 'zod'
import { fieldDecisions } from '../choices.ts'
import { comparison } from './compare.ts'
import { maybe, number } from './numbers.ts'

export const fieldDecision = z.enum(fieldDecisions)
export type FieldDecision = z.infer<typeof fieldDecision>

/** What the data said of a lot when a person decided. */
export const decidedOn = comparison.shape.shifts.element
  .omit({ group: true })
  // Decisions of before these were known lack them.
  .partial({ df: true, speedSet: true, besideLower: true, besideUpper: true })
  .extend({
    model: z.string(),
    response: z.string(),
    target: maybe,
    margin: maybe,
    /** Of the intervals. */
    level: number,
  })

/** What a person decided of a lot, and signed; of the same two lots the newest holds. */
export const lotDecision = z.object({
  id: z.uuid(),
  lot: z.string(),
  against: z.string(),
  decision: fieldDecision,
  who: z.string(),
  why: z.string(),
  at: z.string(),
  dataHash: z.string(),
  numbers: decidedOn,
})
export type LotDecision = z.infer<typeof lotDecision>
