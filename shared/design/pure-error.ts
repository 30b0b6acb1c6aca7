import type { CodedSettings } from './code.ts'

/**
 * Degrees of freedom of pure error: runs repeated at the same settings, the groups (blocks or visits) being
 * fixed shifts. n − rank of the columns of groups and settings together, and that rank is groups + settings −
 * connected pieces of the net in which each run joins its group to its setting.
 */
export function pureErrorDf(runs: readonly { coded: CodedSettings }[], groups: readonly number[]): number {
  const parents = new Map<string, string>()
  const rootOf = (name: string): string => {
    let at = name
    for (let up = parents.get(at); up !== undefined && up !== at; up = parents.get(at)) at = up
    return at
  }
  let joins = 0
  runs.forEach((run, i) => {
    const ends = [`group ${groups[i]}`, JSON.stringify(Object.entries(run.coded).sort())]
    for (const end of ends) if (!parents.has(end)) parents.set(end, end)
    const [a, b] = ends.map(rootOf) as [string, string]
    if (a === b) return
    parents.set(a, b)
    joins++
  })
  // Every join lowers the number of pieces by one: pieces = names − joins, so the rank is the joins.
  return runs.length - joins
}
