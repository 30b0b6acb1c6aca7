import { z } from 'zod'
import { problem } from '../results.ts'
import { siteMapName } from '../things.ts'
import { site } from './bench.ts'
import { nothing, reads } from './call.ts'

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
  'sites.map': reads(
    z.object({ name: siteMapName, diameterMm: z.number().positive(), edgeExclusionMm: z.number().min(0) }),
    z.array(site),
  ),
}
