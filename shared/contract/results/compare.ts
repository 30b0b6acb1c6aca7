import { z } from 'zod'
import { settings } from '../things.ts'
import { maybe, number } from './numbers.ts'

/**
 * The speed for the target: exact, with the interval of the mean over days; rounded to what the coater can be set to; and,
 * of the speed at which the film is as thick as the reference’s at its own speed, the interval in which what both share
 * in a session cancels.
 */
const speeds = {
  speedFor: maybe,
  speedLower: maybe,
  speedUpper: maybe,
  speedSet: maybe,
  besideLower: maybe,
  besideUpper: maybe,
}

export const comparison = z.object({
  groups: z.array(z.string()),
  /** What the shifts are read from: a curve of its own for each group, or parallel ones where the runs carry no more. */
  fittedCurves: z.enum(['separate', 'parallel']),
  /** Terms that separate curves share all the same, as the runs of some group do not tell them. */
  commonTerms: z.array(z.string()),
  tests: z.array(
    z.object({ question: z.enum(['same', 'parallel']), f: maybe, df1: number, df2: number, p: maybe }),
  ),
  /** The first group in order of appearance, to which the shifts are ratios. */
  reference: z.object({ group: z.string(), ...speeds }),
  /** Where shifts and slopes are read: the working point, with the speed at which the reference reaches the target. */
  at: settings,
  /** How runs scatter on the model’s scale: between sessions, visits to the plate, and what is left. */
  variation: z.array(
    z.object({
      group: z.string(),
      standardDeviation: number,
      df: number,
      source: z.enum(['estimated', 'earlierStudies', 'stated']),
    }),
  ),
  shifts: z.array(
    z.object({
      group: z.string(),
      ratio: number,
      lower: maybe,
      upper: maybe,
      /** Of the ratio’s error: Satterthwaite’s where sessions have a variance. */
      df: number,
      ...speeds,
      equivalent: z.boolean().nullable(),
      /**
       * Chances of as much by chance: that the ratio is not 1, and of the two one-sided tests of equivalence; of several
       * lots each as Holm's steps allow for the others.
       */
      pDifferent: maybe,
      pEquivalent: maybe,
    }),
  ),
  /**
   * By how much the slopes of a group's curve differ from those of the first, and at which settings of what they depend
   * on; none where the runs carry no own curves.
   */
  slopes: z.array(
    z.object({
      group: z.string(),
      term: z.string(),
      reference: number,
      difference: number,
      lower: maybe,
      upper: maybe,
      at: settings,
    }),
  ),
})
export type Comparison = z.infer<typeof comparison>
