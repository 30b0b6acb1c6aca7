import { deflateRawSync, inflateRawSync } from 'node:zlib'
import { z } from 'zod'
import type { ChosenRegions, TracePreview } from '../../../shared/contract/calls/traces.ts'
import type { StepHeight } from '../../../shared/contract/results/trace.ts'
import { stepHeight, type TracePoint } from '../../../shared/film/step-height.ts'
import { fileLimits } from '../../../shared/limits.ts'
import { type Answer, good, type Problem, refuse } from '../../../shared/problem.ts'
import { type PositionUnit, readTrace, type TraceFileOptions } from '../files/read-trace.ts'

/** What evaluation makes of a scan: a step, or why there is none. */
export type Evaluated = { found: StepHeight | null; problem: string | null }

const packedPoints = z
  .tuple([z.array(z.number()), z.array(z.number())])
  .refine(([positions, heights]) => positions.length === heights.length)

/** A file read as a scan; its points are packed as the database keeps them. */
export type ReadScan = Evaluated & {
  name: string
  points: number
  packed: Uint8Array
  positionUnit: PositionUnit
  heightUnit: 'nm' | 'Å' | 'µm'
  notes: string[]
}

/** Points as deflated text: as exact as the numbers, and a third of their eight bytes each. */
function packPoints(points: readonly TracePoint[]): Uint8Array {
  const lists = [points.map(({ position }) => position), points.map(({ height }) => height)]
  return deflateRawSync(JSON.stringify(lists))
}

/** The points that were packed; a problem where others have put anything else in their place. */
export function unpackPoints(packed: Uint8Array): Answer<{ positions: number[]; heights: number[] }> {
  try {
    const text = inflateRawSync(packed, { maxOutputLength: fileLimits.trace.characters }).toString()
    const [positions, heights] = packedPoints.parse(JSON.parse(text))
    return good({ positions, heights })
  } catch {
    return refuse('traceDamaged', 'The points of this trace cannot be read. Import its file again.')
  }
}

/** Reads files as scans and looks for the step in each; a file that is no trace refuses all of them. */
export function scansOfFiles(
  given: { files: readonly { fileName: string; text: string }[] } & TraceFileOptions,
): Answer<ReadScan[]> {
  const problems: Problem[] = []
  const scans = given.files.flatMap(({ fileName, text }): ReadScan[] => {
    const read = readTrace(text, given)
    if (!read.ok) {
      for (const problem of read.problems)
        problems.push({ ...problem, message: `${fileName}: ${problem.message}` })
      return []
    }
    const { points, positionUnit, heightUnit, notes } = read.value
    return [
      {
        name: fileName,
        points: points.length,
        packed: packPoints(points),
        positionUnit,
        heightUnit,
        notes: notes.map(({ message }) => `${fileName}: ${message}`),
        ...evaluated(points, { regions: null, bow: false }),
      },
    ]
  })
  return problems.length > 0 ? { ok: false, problems } : good(scans)
}

/** So many points stand beside the raw lines of a file. */
const firstPoints = 12

/** What files are taken for, one by one: nothing is kept, and one that is no trace does not stand in the way of others. */
export function lookAtTraces(
  given: { files: readonly { fileName: string; text: string }[] } & TraceFileOptions,
): Answer<TracePreview[]> {
  return good(
    given.files.map(({ fileName, text }): TracePreview => {
      const read = readTrace(text, given)
      if (!read.ok)
        return {
          fileName,
          problems: read.problems,
          notes: [],
          positionUnit: null,
          heightUnit: null,
          points: 0,
          first: [],
        }
      const { points, rows, positionUnit, heightUnit, notes } = read.value
      const first = points.slice(0, firstPoints).map((point, i) => ({ row: rows[i] as number, ...point }))
      return { fileName, problems: [], notes, positionUnit, heightUnit, points: points.length, first }
    }),
  )
}

type Choice = { regions: ChosenRegions | null; bow: boolean }

/** Evaluates scans anew. */
export function evaluatedScans(
  scans: readonly { id: string; packed: Uint8Array; choice: Choice }[],
): Answer<(Evaluated & { id: string })[]> {
  return good(
    scans.map(({ id, packed, choice }) => {
      const unpacked = unpackPoints(packed)
      if (!unpacked.ok) return { id, found: null, problem: inOne(unpacked.problems) }
      const { positions, heights } = unpacked.value
      const points = positions.map((position, i) => ({ position, height: heights[i] as number }))
      return { id, ...evaluated(points, choice) }
    }),
  )
}

function evaluated(points: readonly TracePoint[], { regions, bow }: Choice): Evaluated {
  const step = stepHeight(points, { ...(regions ?? {}), bow })
  if (step.ok) return { found: step.value, problem: null }
  return { found: null, problem: inOne(step.problems) }
}

const inOne = (problems: readonly Problem[]) => problems.map(({ message }) => message).join(' ')
