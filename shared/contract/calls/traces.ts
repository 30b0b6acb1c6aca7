import { z } from 'zod'
import { fileLimits } from '../../limits.ts'
import { problem } from '../results/problem.ts'
import { meanStep, stepHeight } from '../results/trace.ts'
import { done, id, reads, writes } from './call.ts'

const site = z.number().int().min(1).nullable()
const thicknessUnit = z.enum(['nm', 'Å', 'µm'])
const positionUnit = z.enum(['nm', 'Å', 'µm', 'mm'])
const reason = z.string().trim().min(1).max(2000)

/** Where a person says that the step lies: two edges, or the beginning and end of one transition, µm. */
export const chosenRegions = z.object({
  kind: z.enum(['step', 'edge']),
  edges: z.tuple([z.number(), z.number()]),
})
export type ChosenRegions = z.infer<typeof chosenRegions>

/** How a scan is to be evaluated: null regions are found by the program. */
const choice = z.object({ regions: chosenRegions.nullable(), bow: z.boolean() })

/** One scan of a profilometer, kept whole. */
export const scan = z.object({
  id,
  runId: id,
  site,
  name: z.string(),
  at: z.string(),
  positionUnit,
  heightUnit: thicknessUnit,
  /** How many it holds. */
  points: z.number().int(),
  regions: chosenRegions.nullable(),
  bow: z.boolean(),
  found: stepHeight.nullable(),
  /** Why nothing was found. */
  problem: z.string().nullable(),
  /** Reason for which it is left out of the mean, or null. */
  excluded: z.string().nullable(),
})
export type Scan = z.infer<typeof scan>

export const tracedSite = z.object({
  site,
  /** Over the scans that are not left out; null where none of them shows a step. */
  mean: meanStep.nullable(),
  problem: z.string().nullable(),
  /** The reading in force that was kept of this site's scans. */
  kept: z.object({ readingId: id, value: z.number(), scans: z.array(id) }).nullable(),
})

/** Files as they are read, and what a person says of all of them where they do not say it, or wrongly. */
const traceFiles = z.object({
  files: z
    .array(
      z.object({ fileName: z.string().min(1).max(500), text: z.string().max(fileLimits.trace.characters) }),
    )
    .min(1)
    .max(50),
  decimal: z.enum(['comma', 'point']).optional(),
  positionUnit: positionUnit.optional(),
  heightUnit: thicknessUnit.optional(),
})

/** What a file is taken for: its units (null where it cannot be read), how many points, and the first, µm and nm. */
export const tracePreview = z.object({
  fileName: z.string(),
  problems: z.array(problem),
  /** One with the code `unitAssumed` where the file names no unit. */
  notes: z.array(problem),
  positionUnit: positionUnit.nullable(),
  heightUnit: thicknessUnit.nullable(),
  points: z.number().int(),
  first: z.array(z.object({ row: z.number().int(), position: z.number(), height: z.number() })),
})
export type TracePreview = z.infer<typeof tracePreview>

export const traces = {
  /** Looks at files without keeping anything. A newer look of the same page ends this one. */
  'traces.preview': reads(traceFiles, z.array(tracePreview)),
  'traces.list': reads(
    z.object({ runId: id }),
    z.object({ scans: z.array(scan), sites: z.array(tracedSite) }),
  ),
  /** The points of a scan in order of the file, µm and nm. */
  'traces.points': reads(
    z.object({ traceId: id }),
    z.object({ positions: z.array(z.number()), heights: z.array(z.number()) }),
  ),
  /** Takes in files, a scan each; all or nothing. */
  'traces.import': writes(
    traceFiles.extend({ runId: id, site }),
    z.object({ traceIds: z.array(id), notes: z.array(z.string()) }),
  ),
  /** Evaluates scans with other regions, which stay with them. */
  'traces.evaluate': writes(z.object({ traceIds: z.array(id).min(1).max(50), choice }), done),
  /** Leaves a scan out of the mean with a reason, or takes it in again. */
  'traces.leaveOut': writes(z.object({ traceId: id, reason: reason.nullable() }), done),
  /**
   * Keeps the mean step of a site's scans as its thickness reading, which supersedes what stands there. `draft` is
   * how the scan in hand is to be evaluated, and stays with it.
   */
  'traces.keep': writes(
    z.object({ runId: id, site, draft: z.object({ traceId: id, choice }).optional() }),
    z.object({ readingId: id, value: z.number() }),
  ),
}
