import { z } from 'zod'
import { fileLimits } from '../../limits.ts'
import { ofStudy, reads, writes } from './call.ts'

/** The bytes of a file of one study, in base 64. */
const studyFile = z.object({
  fileName: z.string().max(500),
  bytes: z.base64().max(fileLimits.study.characters),
})

/** How a file of a study comes in: as a study that is not here yet, added to the one here, or beside it. */
export const waysIn = ['new', 'add', 'copy'] as const
export type WayIn = (typeof waysIn)[number]

const insideFile = z.object({
  name: z.string(),
  runs: z.number().int(),
  readings: z.number().int(),
  changedAt: z.string().nullable(),
  /** SHA-256 of the data of the study. */
  hash: z.string(),
  /** The ways in which it may come in; the usual one first. */
  ways: z.array(z.enum(waysIn)),
  /** The study here that the file is of, and whether it holds the same data. */
  here: z.object({ name: z.string(), same: z.boolean() }).nullable(),
})

const broughtIn = ofStudy.extend({
  runs: z.number().int(),
  readings: z.number().int(),
  /** Codes of runs that were planned here and have been coated or read there. */
  takenOver: z.array(z.string()),
  /** Codes of runs that differ there and were left as they are here. */
  left: z.array(z.string()),
  /** Runs whose code was taken here by another run. */
  renamed: z.array(z.object({ from: z.string(), to: z.string() })),
  /** Readings at a place that had been read here too: they stand beside as repeats. */
  repeats: z.number().int(),
})
export type BroughtIn = z.infer<typeof broughtIn>

export const studyFiles = {
  /** The whole study with its history as one file. */
  'studies.file': reads(ofStudy, studyFile.extend({ hash: z.string() })),
  /** What a file holds, before it comes in. */
  'studies.lookAtFile': reads(studyFile, insideFile),
  /** Brings a file in, after a backup. */
  'studies.bringIn': writes(studyFile.extend({ way: z.enum(waysIn) }), broughtIn),
  /** SHA-256 of the data of a study, as it stands on its report. */
  'studies.hash': reads(ofStudy, z.object({ hash: z.string() })),
}
