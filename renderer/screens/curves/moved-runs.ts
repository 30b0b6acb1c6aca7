import type { Settings } from '../../../shared/contract/things.ts'
import type { Args } from '../../../shared/contract.ts'
import { movedResponses, placesOf } from '../../../shared/model/moved-runs.ts'
import type { ResponseScale } from '../../../shared/model/response.ts'
import { callEngine } from '../../client.ts'
import type { TableRun } from './use-fit-view.ts'

/**
 * The response that each run would have shown at the working point of all factors but the one of the axis, by run. Runs
 * that the model cannot predict are missing from the answer.
 */
export async function movedRuns(options: {
  question: Omit<Args<'fits.predict'>, 'at'>
  runs: TableRun[]
  factor: string
  at: Settings
  scale: ResponseScale
}): Promise<Map<string, number>> {
  const { question, runs, scale } = options
  const places = placesOf(runs, options)
  const answer = await callEngine('fits.predict', { ...question, at: [...places.own, ...places.moved] })
  if (!answer.ok) return new Map()
  const moved = movedResponses(runs, places, answer.value, scale)
  return new Map(
    runs.flatMap(({ runId }, i) => {
      const value = moved[i]
      return value == null ? [] : [[runId, value] as const]
    }),
  )
}
