import type { Timeline, TimelineStep } from '../../../shared/contract/results/plan.ts'
import { words } from './words.ts'

export const stepWords: Record<TimelineStep['kind'], string> = words.bar.steps

/** A stretch of one kind of step, in shares of the whole width; `lane` 1 is the second person. */
export type BarStretch = {
  kind: TimelineStep['kind']
  from: number
  width: number
  lane: 0 | 1
}

export type SessionBar = {
  session: string | null
  finish: number
  over: number | null
  stretches: BarStretch[]
  /** Minutes of each kind that there is, in the order of the words. */
  kinds: { kind: TimelineStep['kind']; minutes: number }[]
}

/** Lays the sessions out on one scale, which reaches to the longest of them or to what is booked. */
export function slotBars({ sessions, slotMinutes, reading }: Timeline): {
  minutes: number
  booked: number | null
  bars: SessionBar[]
} {
  const minutes = Math.max(1, slotMinutes ?? 0, ...sessions.map(({ finish }) => finish))
  const bars = sessions.map(({ session, finish, over, steps }): SessionBar => {
    const stretches: BarStretch[] = []
    const last: Record<0 | 1, { stretch: BarStretch; to: number } | null> = { 0: null, 1: null }
    for (const { kind, from, to } of steps) {
      const lane = reading === 'meanwhile' && kind === 'read' ? 1 : 0
      const before = last[lane]
      if (before?.stretch.kind === kind && Math.abs(before.to - from) < 1e-6) {
        before.stretch.width += (to - from) / minutes
        before.to = to
        continue
      }
      const stretch: BarStretch = { kind, from: from / minutes, width: (to - from) / minutes, lane }
      last[lane] = { stretch, to }
      stretches.push(stretch)
    }
    const kinds = (Object.keys(stepWords) as TimelineStep['kind'][]).flatMap((kind) => {
      const sum = steps.filter((step) => step.kind === kind).reduce((all, { from, to }) => all + to - from, 0)
      return sum > 0 ? [{ kind, minutes: sum }] : []
    })
    return { session, finish, over, stretches, kinds }
  })
  return { minutes, booked: slotMinutes === null ? null : slotMinutes / minutes, bars }
}
