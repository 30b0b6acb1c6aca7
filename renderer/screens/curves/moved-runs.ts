import type { Settings } from '../../../shared/contract/things.ts'
import type { Args } from '../../../shared/contract.ts'
import { type ResponseScale, toMeasured, toModel } from '../../../shared/model/response.ts'
import { callEngine } from '../../client.ts'
import type { TableRun } from './use-fit-view.ts'

/**
 * The response that each run would have shown at the working point of all factors but the one of the axis, if the
 * model is right: its fitted value there plus its own residual, on the model's scale. Runs that the model cannot
 * predict, at a level that no fitted run has say, are missing from the answer.
 */
export async function movedRuns(options: {
  question: Omit<Args<'fits.predict'>, 'at'>
  runs: TableRun[]
  factor: string
  at: Settings
  scale: ResponseScale
}): Promise<Map<string, number>> {
  const { question, runs, factor, at, scale } = options
  const own = runs.map((run) => settingsOf(run))
  const moved = own.map((settings) => ({ ...settings, ...at, [factor]: settings[factor] ?? 0 }))
  const answer = await callEngine('fits.predict', { ...question, at: [...own, ...moved] })
  if (!answer.ok) return new Map()
  const fitted = new Map(answer.value.map((each) => [keyOf(each.at), each.estimate]))
  return new Map(
    runs.flatMap((run, i) => {
      const before = fitted.get(keyOf(own[i] as Settings))
      const after = fitted.get(keyOf(moved[i] as Settings))
      if (before === undefined || after === undefined) return []
      const residual = toModel(scale, run.response) - toModel(scale, before)
      const value = toMeasured(scale, toModel(scale, after) + residual)
      return Number.isFinite(value) ? [[run.runId, value] as const] : []
    }),
  )
}

const settingsOf = (run: TableRun): Settings =>
  Object.fromEntries(Object.entries(run.values).filter(([, value]) => value !== null)) as Settings

const keyOf = (settings: Settings) => JSON.stringify(Object.entries(settings).sort())
