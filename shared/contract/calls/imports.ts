import { z } from 'zod'
import { fileLimits } from '../../limits.ts'
import { readingStages } from '../choices.ts'
import { problem } from '../results/problem.ts'
import { done, id, nothing, ofStudy, reads, writes } from './call.ts'

export const decimalSign = z.enum(['comma', 'point'])

export const columnMeaning = z.object({
  column: z.string().max(fileLimits.header),
  /** `wide site` is one site of a row that is a wafer; `reading` is the value of a row that is a site. */
  means: z.enum([
    'ignored',
    'run',
    'site',
    'x',
    'y',
    'radius',
    'angle',
    'repeat',
    'taken after',
    'optical index',
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
    'defect',
    'substrate',
    'steps',
    'steps done',
    'coated at',
    'actual',
  ]),
  /** Name of the factor, the field of what really happened, response or quantity read, number of the site of a wide column, else empty. */
  name: z.string().max(200),
  /** Unit of the column's numbers; empty: that of the study, mm for positions, degrees for angles. */
  unit: z.string().max(40),
  /** Its decimal sign, where it is not that of the file. */
  decimal: decimalSign.optional(),
  /** The sign between its thousands; asked about where its cells look so, never guessed. */
  thousands: z.enum(['none', 'comma', 'point', 'blank', 'apostrophe']).optional(),
})

export const importOptions = z.object({
  /** Whether a row names the columns. */
  header: z.enum(['named', 'none']),
  /** Where positions count from. */
  origin: z.enum(['centre', 'lower left']),
  yAxis: z.enum(['up', 'down']),
  /** What stands before and after the substrate's name in the name of a file. */
  before: z.string().max(500),
  after: z.string().max(500),
  /** What a second reading at a site is, where no column numbers it: a mistake in the file, or a repeat. */
  repeated: z.enum(['refused', 'repeats']),
  /** Stage and optical index of the thickness readings, where no column says them. */
  takenAfter: z.enum([...readingStages, 'not said']),
  opticalIndex: z.number().positive().max(10).nullable(),
})
export type ImportOptions = z.infer<typeof importOptions>

const file = z.object({ fileName: z.string().max(500), text: z.string().max(fileLimits.table.characters) })

const importSource = file.extend({
  studyId: id,
  /** Further files with the same columns, such as one a substrate: all of them are one import. */
  more: z.array(file).max(1000).optional(),
  decimal: decimalSign.optional(),
  columns: z.array(columnMeaning).max(fileLimits.table.columns).optional(),
  /** What a person has settled; the rest is guessed. */
  options: importOptions.partial().optional(),
})

/** What the columns of some instrument's files mean, kept by name. */
export const mapping = z.object({
  id,
  name: z.string().trim().min(1).max(200),
  columns: z.array(columnMeaning),
  options: importOptions.partial(),
})

export const importPreview = z.object({
  /** `runs`: a row is a run. `readings`: a row is one reading. `wide readings`: a row is a wafer with its sites. */
  shape: z.enum(['runs', 'readings', 'wide readings']),
  delimiter: z.string(),
  decimal: decimalSign,
  columns: z.array(columnMeaning),
  /** The sign that each column is read with: its own, that of the file, or the one that its cells settle. */
  decimals: z.array(decimalSign),
  options: importOptions,
  /** The substrate that each file is of by its name, where no column says it; else null. */
  files: z.array(z.object({ fileName: z.string(), run: z.string().nullable(), rows: z.number().int() })),
  /**
   * First rows of the first file: as they stand, and what each cell is read as, in nm, mm and the study's units;
   * null where there is nothing or it cannot be read.
   */
  rows: z.array(
    z.object({
      row: z.number().int(),
      cells: z.array(z.string()),
      read: z.array(z.union([z.number(), z.string()]).nullable()),
    }),
  ),
  rowCount: z.number().int(),
  runs: z.number().int(),
  newRuns: z.number().int(),
  readings: z.number().int(),
  /** Kept mappings of files with just these columns. */
  mappings: z.array(mapping),
  /** How many of each there are; the lists below name the first 500. */
  counts: z.object({
    flagged: z.number().int(),
    warnings: z.number().int(),
    corrected: z.number().int(),
    leftAside: z.number().int(),
    problems: z.number().int(),
  }),
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
  'imports.preview': reads(importSource, importPreview),
  /** All or nothing: where a row is bad the answer is the problems, by row, and nothing is kept. */
  'imports.commit': writes(
    importSource,
    z.object({ importId: id, runs: z.number().int(), readings: z.number().int() }),
  ),
  /** What has come into a study, newest first; `undone` is what has been taken back. */
  'imports.list': reads(
    ofStudy,
    z.array(
      z.object({
        id,
        fileName: z.string(),
        sha256: z.string(),
        runs: z.number().int(),
        readings: z.number().int(),
        at: z.string(),
        undone: z.boolean(),
      }),
    ),
  ),
  /** The text of an imported file, as it was. */
  'imports.text': reads(z.object({ importId: id }), file),
  'imports.mappings': reads(nothing, z.array(mapping)),
  /** Keeps a mapping under its name, in place of an older one of that name. */
  'imports.keepMapping': writes(mapping.omit({ id: true }), z.object({ mappingId: id })),
  'imports.dropMapping': writes(z.object({ mappingId: id }), done),
}
