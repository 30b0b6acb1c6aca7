import { z } from 'zod'
import { maybe, number } from './numbers.ts'
import { counted } from './rehearsal.ts'

/** What the wafers of one session say of the predictions made for them. */
export const sessionScore = z.object({
  /** Null: runs of no named session, counted as one. */
  session: z.string().nullable(),
  wafers: number.int(),
  inside: number.int(),
  /** Mean error as a share of what was predicted. */
  bias: number,
  /** Mean error over its standard deviation, which allows for what the wafers of a session share. */
  z: number,
})

/** How well the intervals of the ledger have held, judged by session. */
export const ledgerScore = z.object({
  sessions: z.array(sessionScore),
  /** Measured wafers in their own interval, with Wilson's interval. */
  coverage: counted,
  /** The sum of z² at the last look; null before the first. */
  look: z
    .object({
      /** The first so many sessions were looked at. */
      sessions: number.int(),
      sumOfSquares: number,
      df: z.tuple([number, number]),
      /** Chance of so large a sum, and of so small a one, if the intervals are right. */
      pNarrow: number,
      pWide: number,
      /** What either is held against at this look. */
      alpha: number,
    })
    .nullable(),
  verdict: z.enum(['nothing measured', 'too few', 'as predicted', 'too narrow', 'too wide']),
  /** How many times wider, or narrower, the intervals ought to have been; null where they are as predicted. */
  factor: maybe,
  words: z.string(),
})
export type LedgerScore = z.infer<typeof ledgerScore>
