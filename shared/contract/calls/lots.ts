import { z } from 'zod'
import { comparison } from '../results/compare.ts'
import { problem } from '../results/problem.ts'
import { reads } from './call.ts'
import { curve, fitArgs } from './fits.ts'

export const lots = {
  'lots.compare': reads(
    fitArgs.extend({
      by: z.string(),
      groups: z.array(z.string()).max(50).optional(),
      target: z.number().positive().nullable(),
      margin: z.number().gt(0).lt(1).nullable(),
    }),
    comparison.extend({
      /** One curve a group over speed, at the working point of the other factors. */
      curves: z.array(curve.extend({ group: z.string() })),
      dataHash: z.string(),
      problems: z.array(problem),
    }),
  ),
}
