import { z } from 'zod'
import { keptItem, reportItems, reportPart, reportTheme } from '../report.ts'
import { done, ofStudy, reads, writes } from './call.ts'

const textFile = z.object({ fileName: z.string(), text: z.string() })

export const reports = {
  /** The report as one HTML document. Can take some seconds, and ends an older one of the same page. */
  'reports.document': reads(
    ofStudy.extend({
      /** Parts in order, in place of what is kept; notes are left out then. */
      parts: z.array(reportPart).max(100).optional(),
      /** Colours of the page; black on white unless given. */
      theme: reportTheme.optional(),
    }),
    textFile.extend({
      /** What was written when the data were other ones, in sentences. */
      stale: z.array(z.string()),
    }),
  ),
  /** Parts and notes in their order, and the hash of the data as they are now. */
  'reports.items': reads(ofStudy, z.object({ items: z.array(keptItem), dataHash: z.string() })),
  /** Puts the report together anew. A note that is new or changed is kept with the hash of the data of now. */
  'reports.arrange': writes(ofStudy.extend({ items: reportItems }), done),
  'reports.runsCsv': reads(ofStudy, textFile),
  'reports.readingsCsv': reads(ofStudy, textFile),
  /** The terms of the fit that the report shows. */
  'reports.termsCsv': reads(ofStudy, textFile),
  'reports.ledgerCsv': reads(ofStudy, textFile),
  /** Every change that is on record, newest first. */
  'reports.historyCsv': reads(ofStudy, textFile),
}
