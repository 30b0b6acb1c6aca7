import { z } from 'zod'
import { maybe, number } from './numbers.ts'

export const comparison = z.object({
  groups: z.array(z.string()),
  /** What the shifts are read from: a curve of its own for each group, or parallel ones where the runs carry no more. */
  fittedCurves: z.enum(['separate', 'parallel']),
  tests: z.array(
    z.object({ question: z.enum(['same', 'parallel']), f: maybe, df1: number, df2: number, p: maybe }),
  ),
  /** The first group in order of appearance, to which the shifts are ratios. */
  reference: z.object({ group: z.string(), speedFor: maybe, speedLower: maybe, speedUpper: maybe }),
  shifts: z.array(
    z.object({
      group: z.string(),
      ratio: number,
      lower: maybe,
      upper: maybe,
      speedFor: maybe,
      speedLower: maybe,
      speedUpper: maybe,
      equivalent: z.boolean().nullable(),
      /**
       * Chances of as much by chance: that the ratio is not 1, and of the two one-sided tests of equivalence; of several
       * lots each as Holm's steps allow for the others.
       */
      pDifferent: maybe,
      pEquivalent: maybe,
    }),
  ),
  /** By how much the slopes of a group's curve differ from those of the first; none where the runs carry no own curves. */
  slopes: z.array(
    z.object({
      group: z.string(),
      term: z.string(),
      reference: number,
      difference: number,
      lower: maybe,
      upper: maybe,
    }),
  ),
})
export type Comparison = z.infer<typeof comparison>
