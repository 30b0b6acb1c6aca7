import type { Settings } from '../../../shared/contract/things.ts'
import type { Args } from '../../../shared/contract.ts'
import { estimatesAt, movedResponses, placesOf } from '../../../shared/model/moved-runs.ts'
import type { ResponseScale } from '../../../shared/model/response.ts'
import { callEngine } from '../../client.ts'
import type { TableRun } from './use-fit-view.ts'

type Question = Omit<Args<'fits.predict'>, 'at'>
type Estimates = (number | null)[] | null

/** What the fit says of the runs where they stand: asked once a fit, since a step of the working point does not move it. */
let asked: { question: Question; runs: TableRun[]; own: Promise<Estimates> } | null = null

async function estimates(question: Question, places: Settings[]): Promise<Estimates> {
  const answer = await callEngine('fits.predict', { ...question, at: places })
  return answer.ok ? estimatesAt(places, answer.value) : null
}

/**
 * The response that each run would have shown at the working point of all factors but the one of the axis, by run. Runs
 * that the model cannot predict are missing from the answer.
 */
export async function movedRuns(options: {
  question: Question
  runs: TableRun[]
  factor: string
  at: Settings
  scale: ResponseScale
}): Promise<Map<string, number>> {
  const { question, runs, scale } = options
  const places = placesOf(runs, options)
  if (asked?.question !== question || asked.runs !== runs)
    asked = { question, runs, own: estimates(question, places.own) }
  const [own, moved] = await Promise.all([asked.own, estimates(question, places.moved)])
  if (!own || !moved) return new Map()
  const responses = movedResponses(runs, { own, moved }, scale)
  return new Map(
    runs.flatMap(({ runId }, i) => {
      const value = responses[i]
      return value == null ? [] : [[runId, value] as const]
    }),
  )
}
