import { z } from 'zod'
import { settings } from '../things.ts'
import { number } from './numbers.ts'

/** What a check of a new lot against the old one can show before a wafer is coated. */
export const lotCheck = z.object({
  /** Of one run, from its session's mean, as a share of the response; and what tells it. */
  deviation: number,
  deviationFrom: z.string(),
  margin: number,
  /** By runs of each lot: the chance that lots that are equal are found equal within the margin. */
  chances: z.array(z.object({ runs: number.int(), chance: number })),
  /** The fewest of each lot with a chance of at least 0.8; null where not even 100 have it. */
  enough: number.int().nullable(),
  /** Of the check's wafers, unless a person says otherwise. */
  settings,
})
