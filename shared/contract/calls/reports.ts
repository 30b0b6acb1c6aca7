import { z } from 'zod'
import { ofStudy, reads } from './call.ts'

const csvFile = z.object({ fileName: z.string(), text: z.string() })

export const reports = {
  'reports.runsCsv': reads(ofStudy, csvFile),
  'reports.readingsCsv': reads(ofStudy, csvFile),
}
