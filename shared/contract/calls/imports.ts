import { z } from 'zod'
import { problem } from '../results.ts'
import { id, reads, writes } from './call.ts'

export const columnMeaning = z.object({
  column: z.string(),
  /** `wide site` is one site of a row that is a wafer; `reading` is the value of a row that is a site. */
  means: z.enum([
    'ignored',
    'run',
    'site',
    'x',
    'y',
    'reading',
    'wide site',
    'factor',
    'response',
    'lot',
    'session',
    'block',
    'plate visit',
    'stage',
    'run order',
    'standard order',
    'kind',
    'state',
    'note',
    'typed text',
    'typed unit',
    'unit',
    'read at',
    'quantity',
    'excluded',
    'run excluded',
  ]),
  /** Name of the factor, response or quantity read, number of the site of a wide column, else empty. */
  name: z.string(),
  /** Unit of the column's numbers; empty: that of the study, mm for positions. */
  unit: z.string(),
})

const importSource = z.object({
  fileName: z.string().max(500),
  text: z.string().max(200_000_000),
  decimal: z.enum(['comma', 'point']).optional(),
  columns: z.array(columnMeaning).optional(),
})

export const importPreview = z.object({
  /** `runs`: a row is a run. `readings`: a row is one reading. `wide readings`: a row is a wafer with its sites. */
  shape: z.enum(['runs', 'readings', 'wide readings']),
  delimiter: z.string(),
  decimal: z.enum(['comma', 'point']),
  columns: z.array(columnMeaning),
  /** First rows as they stand in the file, without the header. */
  rows: z.array(z.object({ row: z.number().int(), cells: z.array(z.string()) })),
  rowCount: z.number().int(),
  runs: z.number().int(),
  newRuns: z.number().int(),
  readings: z.number().int(),
  /** Readings that will come in marked as excluded, with the reason (zero, negative, beyond the edge). */
  flagged: z.array(problem),
  /** What a person should look at first: readings whose unit may have been mistaken. */
  warnings: z.array(problem),
  /** Readings that will supersede others which stand at their place. */
  corrected: z.array(problem),
  /**
   * What stays out, by row: summaries of the file's own (mean, std, min, max), lines above the table, failed
   * points (NaN, ---, OL, empty), readings that are there already.
   */
  leftAside: z.array(problem),
  /** While there is one of these nothing can be imported. */
  problems: z.array(problem),
})

export const imports = {
  'imports.preview': reads(importSource.extend({ studyId: id }), importPreview),
  /** All or nothing: where a row is bad the answer is the problems, by row, and nothing is kept. */
  'imports.commit': writes(
    importSource.extend({ studyId: id }),
    z.object({ importId: id, runs: z.number().int(), readings: z.number().int() }),
  ),
}
