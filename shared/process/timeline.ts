import type { Timeline, TimelineStep } from '../contract/results/plan.ts'
import type { ReadingTime } from '../contract/things.ts'
import { type BenchFigures, type BenchRun, bySession, firstHeat, plateWait, tidy } from './budget.ts'

/** A run with its place in the order. */
export type TimelineRun = BenchRun & { runOrder: number }

/**
 * What is done from minute to minute of each session: the plate comes to its first temperature, the dummies are coated,
 * then each run in order, with the plate heated or cooled and soaked before a run at another setting. Films are
 * read after the last coat, one after another; by a second person as soon as each has cooled; or later, outside the
 * session. Steps without a length are left out.
 *
 * @param options.runs in run order
 */
export function timelineOf(options: {
  runs: readonly TimelineRun[]
  bench: BenchFigures
  reading: ReadingTime
}): Timeline {
  const { runs, bench, reading } = options
  const slotMinutes = bench.slotHours === null ? null : 60 * bench.slotHours
  const sessions = bySession(runs).map(({ session, runs }) => {
    const coating = coatingSteps(runs, bench)
    const steps = [...coating, ...readingSteps(coating, bench, reading)]
    const finish = Math.max(0, ...steps.map(({ to }) => to))
    return {
      session,
      steps: steps.filter(({ from, to }) => to > from),
      finish,
      over: slotMinutes === null ? null : Math.max(0, tidy(finish - slotMinutes)),
    }
  })
  const minutesLater = reading === 'later' ? tidy(runs.length * bench.readMinutes) : 0
  return { reading, slotMinutes, sessions, minutesLater }
}

/** The longest session, minutes. */
export const longestSession = ({ sessions }: Pick<Timeline, 'sessions'>): number =>
  Math.max(0, ...sessions.map(({ finish }) => finish))

/** Whether every session fits what is booked; true while nothing is. */
export const fitsSlot = ({ sessions }: Pick<Timeline, 'sessions'>): boolean =>
  sessions.every(({ over }) => over === null || over === 0)

function coatingSteps(runs: readonly TimelineRun[], bench: BenchFigures): TimelineStep[] {
  const { hotPlate } = bench
  const factor = runs.some((run) => run.plateTemperature !== null)
  const plate = (run: TimelineRun | undefined) =>
    factor && run ? (run.plateTemperature ?? bench.holdBakeTemperature) : null
  const steps: TimelineStep[] = []
  let now = 0
  const add = (
    kind: TimelineStep['kind'],
    minutes: number,
    run: number | null,
    temperature: number | null,
  ) => {
    const to = tidy(now + minutes)
    steps.push({ kind, from: now, to, run, temperature })
    now = to
  }
  const first = runs.length === 0 ? null : firstHeat(runs[0]?.plateTemperature ?? null, bench)
  if (first !== null) {
    add(first.to > first.from ? 'heat' : 'cool', first.travel, null, first.to)
    add('soak', first.soak, null, first.to)
  }
  for (let i = 0; i < bench.dummies; i++) add('dummy', bench.coatMinutes, null, plate(runs[0]))
  let standing = plate(runs[0])
  for (const run of runs) {
    const wanted = plate(run)
    if (hotPlate !== null && standing !== null && wanted !== null && wanted !== standing) {
      const travel = plateWait(standing, wanted, hotPlate) - hotPlate.soak
      add(wanted > standing ? 'heat' : 'cool', travel, null, wanted)
      add('soak', hotPlate.soak, null, wanted)
    }
    standing = wanted
    add('coat', bench.coatMinutes, run.runOrder, wanted)
  }
  return steps
}

function readingSteps(
  coating: readonly TimelineStep[],
  bench: BenchFigures,
  reading: ReadingTime,
): TimelineStep[] {
  if (reading === 'later') return []
  let free = reading === 'after' ? (coating.at(-1)?.to ?? 0) : 0
  return coating
    .filter(({ kind }) => kind === 'coat')
    .map(({ run, to, temperature }) => {
      const from = Math.max(free, to)
      free = tidy(from + bench.readMinutes)
      return { kind: 'read', from, to: free, run, temperature }
    })
}
