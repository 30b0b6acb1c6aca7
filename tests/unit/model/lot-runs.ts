import { type CompareOptions, compareGroups, type GroupComparison } from '../../../shared/model/lots.ts'
import type { Table } from '../../../shared/model/table.ts'
import { seeded } from '../../../shared/random.ts'
import { tableOf } from './some-runs.ts'

/** Invented lots on a power law 1560·(speed/3000)^−0.505, each run with the given scatter. */
export function lots(
  factors: Record<string, number>,
  options: {
    speeds: number[]
    scatter: number
    seed: number
    sessions?: (lot: string, i: number) => string | null
  },
): Table {
  const random = seeded(options.seed)
  const rows = Object.entries(factors).flatMap(([lot, factor]) =>
    options.speeds.map((speed, i) => ({
      lot,
      speed,
      thickness: 1560 * factor * (speed / 3000) ** -0.505 * Math.exp(options.scatter * random.normal()),
      session: options.sessions ? options.sessions(lot, i) : 'one',
    })),
  )
  return tableOf({
    lot: rows.map(({ lot }) => lot),
    speed: rows.map(({ speed }) => speed),
    thickness: rows.map(({ thickness }) => thickness),
    ...(options.sessions ? { session: rows.map(({ session }) => session) } : {}),
  })
}

/** A comparison that must be answered. */
export function comparisonOf(options: Partial<CompareOptions> & { table: Table }): GroupComparison {
  const answer = compareGroups({
    model: 'log(thickness) ~ log(speed)',
    by: 'lot',
    target: 1500,
    margin: 0.01,
    ...options,
  })
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.message).join('\n'))
  return answer.value
}

/** Speeds of each lot, rpm. */
export const speeds = [2000, 2500, 3000, 3500, 4000, 2000, 2500, 3000, 3500, 4000]
export const codes = (problems: { code: string }[]) => problems.map(({ code }) => code)
