import type { Rehearsal } from '../../../shared/contract/results/rehearsal.ts'
import { planWithoutWays } from '../../../shared/design/make-plan.ts'
import type { Answer } from '../../../shared/problem.ts'
import type { Tell } from '../../../shared/progress.ts'
import { type RehearsalOptions, rehearse } from '../../../shared/rehearsal/rehearse.ts'

/** A plan to rehearse: how it is made, and what the rehearsal is asked. */
export type RehearsalInput = Omit<RehearsalOptions, 'wafers'> & {
  plan: Parameters<typeof planWithoutWays>[0]
  /** The study's lots, of which runs get the first unless their settings name one. */
  lots: string[]
}

/** Makes the plan and rehearses it; each of its blocks is a day. */
export function rehearsal({ plan, lots, ...options }: RehearsalInput, tell: Tell): Answer<Rehearsal> {
  const made = planWithoutWays(plan)
  if (!made.ok) return made
  const lotFactor = options.factors.find(({ role }) => role === 'lot')
  const wafers = made.value.runs.map(({ settings, block, plateVisit }) => ({
    settings,
    plateVisit,
    session: `day ${block}`,
    lot: String((lotFactor && settings[lotFactor.name]) ?? lots[0] ?? ''),
  }))
  return rehearse({ ...options, wafers }, tell)
}
