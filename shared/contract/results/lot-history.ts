import { z } from 'zod'
import { maybe, number } from './numbers.ts'

/** Lots of one resist, each against the reference lot of the study that tells of it, the oldest first. */
export const lotHistory = z.object({
  resist: z.string(),
  lots: z.array(
    z.object({
      studyId: z.uuid(),
      study: z.string(),
      /** Of its first runs, YYYY-MM-DD. */
      day: z.string(),
      lot: z.string(),
      reference: z.string(),
      runs: number.int(),
      ratio: number,
      lower: maybe,
      upper: maybe,
      /** False where a difference of days may count as one of lots. */
      daysHeldApart: z.boolean(),
    }),
  ),
})
export type LotHistory = z.infer<typeof lotHistory>
