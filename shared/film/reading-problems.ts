import { plainNumber } from '../charts/format.ts'
import type { OtherStage } from '../contract/results/film.ts'
import type { Reading, Study } from '../contract/things.ts'
import type { Problem } from '../problem.ts'
import { ofStage, thickness } from './reading-stage.ts'

/** How the film of a run was read. */
export type ReadHow = {
  /** Readings of thickness at other stages than that of the target. */
  otherStages: OtherStage[]
  /** Optical indices of those that count, and how many were taken with each. */
  opticalIndices: [index: number, count: number][]
}

/** How the thickness readings among those in force of a run were taken. */
export function readHow(
  study: Pick<Study, 'targetAfter'>,
  readings: readonly Pick<Reading, 'quantity' | 'takenAfter' | 'opticalIndex' | 'excluded'>[],
): ReadHow {
  const film = readings.filter(({ quantity }) => quantity === thickness)
  const { counting, otherStages } = ofStage(film, study)
  const indices = new Map<number, number>()
  for (const { opticalIndex, excluded } of counting)
    if (opticalIndex !== null && excluded === null)
      indices.set(opticalIndex, (indices.get(opticalIndex) ?? 0) + 1)
  return { otherStages, opticalIndices: [...indices] }
}

/**
 * What a person should know of how thickness was read before films are compared: readings at another stage than that
 * of the target, which are left, and readings with differing optical indices, which are not alike.
 *
 * @param runs how each was read
 */
export function readingProblems(study: Pick<Study, 'targetAfter'>, runs: Iterable<ReadHow>): Problem[] {
  const left = new Map<string, { readings: number; runs: number }>()
  const indices = new Map<number, number>()
  for (const { otherStages, opticalIndices } of runs) {
    for (const { takenAfter, count } of otherStages) {
      const before = left.get(takenAfter) ?? { readings: 0, runs: 0 }
      left.set(takenAfter, { readings: before.readings + count, runs: before.runs + 1 })
    }
    for (const [index, count] of opticalIndices) indices.set(index, (indices.get(index) ?? 0) + count)
  }
  return [...otherStageProblems(study, left), ...indexProblems(indices)]
}

function otherStageProblems(
  { targetAfter }: Pick<Study, 'targetAfter'>,
  left: ReadonlyMap<string, { readings: number; runs: number }>,
): Problem[] {
  return [...left].map(([stage, { readings, runs }]) => ({
    code: 'otherStage',
    message:
      `${readings === 1 ? 'A reading' : `${readings} readings`} of ${runs === 1 ? 'a run' : `${runs} runs`} ` +
      `after ${stage} ${readings === 1 ? 'is' : 'are'} left: the target is meant after ${targetAfter}.`,
  }))
}

/** Share of the thickness by which 0.01 of index is off: from memory of the trade, as n is about 1.6. */
const shareOfHundredth = 0.006

function indexProblems(indices: ReadonlyMap<number, number>): Problem[] {
  if (indices.size < 2) return []
  const sorted = [...indices].sort(([a], [b]) => a - b)
  const [low, high] = [sorted[0]?.[0] as number, sorted.at(-1)?.[0] as number]
  const percent = ((high - low) / 0.01) * shareOfHundredth * 100
  const most = 5
  const named = sorted.slice(0, most).map(([index, count]) => `${index} (${count})`)
  return [
    {
      code: 'differentIndex',
      message:
        `Readings that count were taken with different optical indices: ${named.join(', ')}` +
        `${sorted.length > most ? ' …' : ''}. Between the lowest and the highest that is about ` +
        `${plainNumber(percent, 2)} % of the thickness.`,
    },
  ]
}
