import { z } from 'zod'
import { reportParts } from './choices.ts'

export const reportPart = z.enum(reportParts)
export type ReportPart = z.infer<typeof reportPart>

const part = z.object({ kind: z.literal('part'), part: reportPart })
const note = z.object({ kind: z.literal('note'), id: z.uuid(), text: z.string().max(20000) })

/** A part of the report, or a note of a person's own between parts; parts that do not stand here are left out. */
export const reportItem = z.discriminatedUnion('kind', [part, note])
export type ReportItem = z.infer<typeof reportItem>
export const reportItems = z.array(reportItem).max(200)

/** A note as it is kept: when it was written, and the hash of the data of then. */
export const keptItem = z.discriminatedUnion('kind', [
  part,
  note.extend({ at: z.string(), dataHash: z.string() }),
])
export type KeptItem = z.infer<typeof keptItem>

/** Nothing that could end a style rule and begin another. */
const styleWord = z
  .string()
  .max(300)
  .regex(/^[#\w\s.,%()"'-]*$/)

/** The colours of a theme as the page draws with them. */
export const reportTheme = z.object({
  name: z.enum(['light', 'dark', 'bay']),
  ground: styleWord,
  ink: styleWord,
  inkSoft: styleWord,
  grid: styleWord,
  accent: styleWord,
  outside: styleWord,
  mark: styleWord,
  bandConfidence: styleWord,
  bandPrediction: styleWord,
  bandTolerance: styleWord,
  series: z.array(styleWord).min(1).max(12),
  font: styleWord,
})
