import { z } from 'zod'
import { problem } from '../results/problem.ts'
import { done, nothing, reads } from './call.ts'

export const application = {
  'application.about': reads(
    nothing,
    z.object({
      version: z.string(),
      database: z.string(),
      schema: z.number().int(),
      warnings: z.array(problem),
    }),
  ),
  /** Ends the long call of that name which the same page has under way; it is answered with the problem `cancelled`. */
  'application.cancel': reads(z.object({ call: z.string().max(100) }), done),
}
