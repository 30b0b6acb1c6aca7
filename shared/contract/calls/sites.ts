import { z } from 'zod'
import { problem } from '../results/problem.ts'
import { studyInput } from '../things.ts'
import { site } from './bench.ts'
import { reads } from './call.ts'
import { importOptions } from './imports.ts'

const substrate = studyInput.pick({
  substrateShape: true,
  diameterMm: true,
  widthMm: true,
  heightMm: true,
  edgeExclusionMm: true,
})

export const sites = {
  /** Reads a site map from text such as a CSV file: x and y or radius and angle, and the numbers of the sites. */
  'sites.read': reads(
    z.object({
      text: z.string().max(1_000_000),
      substrate,
      /** What a person has settled; the rest is recognized. The unit holds where no header names one. */
      options: importOptions
        .pick({ origin: true, yAxis: true })
        .extend({ unit: z.enum(['mm', 'cm', 'µm', 'inch']) })
        .partial(),
    }),
    z.object({
      /** Those that can be read; every other row is a problem. */
      sites: z.array(site),
      unit: z.string(),
      ...importOptions.pick({ origin: true, yAxis: true }).shape,
      problems: z.array(problem),
    }),
  ),
}
