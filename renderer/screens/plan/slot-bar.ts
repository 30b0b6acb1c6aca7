import type { Timeline, TimelineStep } from '../../../shared/contract/results/plan.ts'
import { words } from './words.ts'

/** Steps of one kind that follow each other without a gap, minutes from the start of the session. */
export type BarStretch = { kind: TimelineStep['kind']; from: number; to: number }

/** A bar: what one person does in a session. */
export type SlotRow = { name: string; steps: TimelineStep[]; stretches: BarStretch[] }

/** The sessions as bars on one scale, which reaches to the longest of them or to what is booked, in minutes. */
export function slotBars({ sessions, slotMinutes, reading }: Timeline): { minutes: number; rows: SlotRow[] } {
  const minutes = Math.max(1, slotMinutes ?? 0, ...sessions.map(({ finish }) => finish))
  const rows = sessions.flatMap(({ session, steps }) => {
    const name = session ?? words.bar.session
    if (reading !== 'meanwhile') return [row(name, steps)]
    const [reads, others] = [true, false].map((is) => steps.filter(({ kind }) => (kind === 'read') === is))
    return [row(name, others ?? []), row(words.bar.reader(name), reads ?? [])]
  })
  return { minutes, rows }
}

function row(name: string, steps: TimelineStep[]): SlotRow {
  const stretches: BarStretch[] = []
  for (const { kind, from, to } of steps) {
    const last = stretches.at(-1)
    if (last?.kind === kind && Math.abs(last.to - from) < 1e-6) last.to = to
    else stretches.push({ kind, from, to })
  }
  return { name, steps, stretches }
}

/** Minutes of each kind of step that a session has, in the order of the words. */
export function minutesByKind(
  steps: readonly TimelineStep[],
): { kind: TimelineStep['kind']; minutes: number }[] {
  return (Object.keys(words.bar.steps) as TimelineStep['kind'][]).flatMap((kind) => {
    const minutes = steps
      .filter((step) => step.kind === kind)
      .reduce((sum, { from, to }) => sum + to - from, 0)
    return minutes > 0 ? [{ kind, minutes }] : []
  })
}
