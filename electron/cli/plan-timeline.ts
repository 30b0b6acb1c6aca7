import type { Plan, Timeline, TimelineStep } from '../../shared/contract/results/plan.ts'
import { clockAfter } from '../../shared/process/clock.ts'
import { type Cell, numeric, printTable } from './print.ts'

/** The sessions from minute to minute, what the order saves, and what to drop where it does not fit. */
export function timelineInWords(plan: Plan, start: string | null): string {
  const { timeline, minutesSaved } = plan
  return [
    ...timeline.sessions.map((session) => sessionInWords(session, start)),
    ...(timeline.minutesLater > 0
      ? [`Reading is left for later: ${tenths(timeline.minutesLater)} min in all.`]
      : []),
    ...(minutesSaved === null
      ? []
      : [
          `Against a fully random order this one saves ${Math.round(minutesSaved)} min of waiting on average.`,
        ]),
    ...waysInWords(plan),
  ].join('\n\n')
}

function sessionInWords(
  { session, steps, finish, over }: Timeline['sessions'][number],
  start: string | null,
): string {
  const clock = start === null ? [] : [numeric('clock')]
  const table = printTable(
    [numeric('minute'), ...clock, 'what', numeric('minutes')],
    inStretches(steps).map(({ words, from, to }): Cell[] => [
      tenths(from),
      ...(start === null ? [] : [clockAfter(start, from)]),
      words,
      tenths(to - from),
    ]),
  )
  const end = start === null ? '' : ` at ${clockAfter(start, finish)}`
  const booked =
    over === null ? '' : over > 0 ? `, over by ${Math.ceil(over)} min` : ', within what is booked'
  return `${session ?? 'The session'} takes ${Math.round(finish)} min${end}${booked}:\n${table}`
}

const tenths = (minutes: number) => String(Number(minutes.toFixed(1)))

/** Steps of one kind in a row as one line. */
function inStretches(steps: readonly TimelineStep[]): { words: string; from: number; to: number }[] {
  const stretches: (TimelineStep & { count: number })[] = []
  for (const step of steps) {
    const last = stretches.at(-1)
    if (last?.kind === step.kind && last.temperature === step.temperature && last.to === step.from) {
      last.to = step.to
      last.count++
    } else if (last?.kind === 'read' && step.kind === 'read' && last.to === step.from) {
      last.to = step.to
      last.count++
    } else stretches.push({ ...step, count: 1 })
  }
  return stretches.map((stretch) => ({ ...stretch, words: wordsOf(stretch) }))
}

function wordsOf({ kind, temperature, count }: TimelineStep & { count: number }): string {
  const at = temperature === null ? '' : ` at ${temperature} °C`
  switch (kind) {
    case 'dummy':
      return `coat ${count === 1 ? 'a dummy' : `${count} dummies`}${at}`
    case 'coat':
      return `coat, bake and cool ${count}${at}`
    case 'heat':
      return `heat the plate to ${temperature} °C`
    case 'cool':
      return `let the plate cool to ${temperature} °C`
    case 'soak':
      return `let the plate soak${at}`
    case 'read':
      return `read ${count}`
  }
}

function waysInWords({ waysToFit, timeline }: Plan): string[] {
  if (waysToFit.length === 0) return []
  const over = Math.max(...timeline.sessions.map((session) => session.over ?? 0))
  const lines = waysToFit.map(
    ({ what, saves, fits, cost }) =>
      `  ${what}: ${Math.round(saves)} min less${fits ? '' : ', not enough alone'}. ${cost}`,
  )
  const alone = waysToFit.some(({ fits }) => fits)
    ? 'Drop one of:'
    : 'No single one is enough; begin with one of:'
  return [`Over by ${Math.ceil(over)} min. ${alone}\n${lines.join('\n')}`]
}
