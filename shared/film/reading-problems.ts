import { plainNumber } from '../charts/format.ts'
import type { Reading, Study } from '../contract/things.ts'
import type { Problem } from '../problem.ts'
import { ofStage } from './reading-stage.ts'

type Read = Pick<Reading, 'quantity' | 'takenAfter' | 'opticalIndex' | 'excluded'>

/**
 * What a person should know of how thickness was read before films are compared: readings at another stage than that
 * of the target, which are left, and readings with differing optical indices, which are not alike.
 *
 * @param byRun readings in force of each run
 */
export function readingProblems(
  study: Pick<Study, 'targetAfter'>,
  byRun: Iterable<readonly Read[]>,
): Problem[] {
  const left = new Map<string, { readings: number; runs: number }>()
  const indices = new Map<number, number>()
  for (const readings of byRun) {
    const film = readings.filter(({ quantity }) => quantity === 'thickness')
    const { counting, otherStages } = ofStage(film, study)
    for (const { takenAfter, count } of otherStages) {
      const before = left.get(takenAfter) ?? { readings: 0, runs: 0 }
      left.set(takenAfter, { readings: before.readings + count, runs: before.runs + 1 })
    }
    for (const { opticalIndex, excluded } of counting)
      if (opticalIndex !== null && excluded === null)
        indices.set(opticalIndex, (indices.get(opticalIndex) ?? 0) + 1)
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
