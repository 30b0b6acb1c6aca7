import type { Problem } from '../problem.ts'
import type { Frame } from './frame.ts'
import { columnNamed, type Table } from './table.ts'

/** Name of the column that tells sessions apart. */
export const sessionColumn = 'session'

/** Whether a group can be judged equal to the first, and what its reader should know of that. */
export type Judgement = { judged: boolean; problem: Problem | null }

/**
 * Whether the group can be judged equal to the first: a difference of days must not count as one of groups. With one
 * session there is none; with several the model has to hold them apart, and the two have to share a session or be joined
 * by sessions that they share with others, such as reference wafers of one lot in each. A run of no named session may be
 * of any day.
 *
 * @param fit.daysApart whether the model holds sessions apart, by terms or by a variance between them
 */
export function judgement(
  { frame, daysApart }: { frame: Frame; daysApart: boolean },
  { table, by, groups }: { table: Table; by: string; groups: readonly string[] },
  group: string,
): Judgement {
  const sessions = columnNamed(table, sessionColumn)?.values
  const names = columnNamed(table, by)?.values
  if (!sessions || !names) return { judged: true, problem: null }
  const sessionsOf = new Map<string, Set<number | string | null>>()
  for (const row of frame.rows) {
    const own = sessionsOf.get(String(names[row])) ?? new Set()
    sessionsOf.set(String(names[row]), own.add(sessions[row] ?? null))
  }
  const of = (name: string | undefined) => sessionsOf.get(name ?? '') ?? new Set()
  const [first, second] = [of(groups[0]), of(group)]
  const all = new Set([...first, ...second])
  const pair = `${group} and ${groups[0]}`
  if (all.size === 1 && !all.has(null)) return { judged: true, problem: null }
  const shared = [...second].some((session) => first.has(session))
  const between = shared ? [] : joining(sessionsOf, groups[0] ?? '', group)
  if (all.has(null)) {
    const without = [groups[0], group].filter((name) => of(name).has(null)).join(' and ')
    return {
      judged: false,
      problem: {
        code: 'noCommonSession',
        message: `Runs of ${without} name no session, so they may be of any day: a difference of days would count as one of ${by}, so equivalence is not judged. Name the session of every run.`,
      },
    }
  }
  if (between === null)
    return {
      judged: false,
      problem: {
        code: 'noCommonSession',
        message: `${pair} are not known to have been coated in one session, nor beside wafers of one ${by}: a difference of days would count as one of ${by}, so equivalence is not judged.`,
      },
    }
  if (!daysApart)
    return {
      judged: false,
      problem: {
        code: 'sessionsMixed',
        message: `${pair} come from several sessions that the model does not hold apart: a difference of days would count as one of ${by}, so equivalence is not judged. Add + ${sessionColumn} to the model.`,
      },
    }
  if (between.length === 0) return { judged: true, problem: null }
  return {
    judged: true,
    problem: {
      code: 'throughOthers',
      message: `${pair} were not coated in one session: they are compared through the runs of ${between.join(', ')}, whose scatter is in the interval.`,
    },
  }
}

/** The groups that join two by named sessions that each shares with the next; null where none do. */
function joining(
  sessionsOf: ReadonlyMap<string, ReadonlySet<number | string | null>>,
  from: string,
  to: string,
): string[] | null {
  const paths: string[][] = [[from]]
  const seen = new Set([from])
  for (const path of paths) {
    const here = sessionsOf.get(path.at(-1) as string)
    for (const [name, sessions] of sessionsOf) {
      if (seen.has(name) || ![...sessions].some((session) => session !== null && here?.has(session))) continue
      if (name === to) return path.slice(1)
      seen.add(name)
      paths.push([...path, name])
    }
  }
  return null
}
