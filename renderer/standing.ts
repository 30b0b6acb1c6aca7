import type { Result } from '../shared/contract.ts'
import type { RunRow } from './stores/runs.ts'
import type { Screen } from './stores/screens.ts'

/** What to do now in a study, and where. */
export type Standing = { words: string; screen: Screen; runId?: string }

type Study = Pick<Result<'studies.get'>, 'targetNm'>
type Run = Pick<RunRow, 'id' | 'code' | 'state' | 'kind'>

/** So few measured runs say nothing about a film yet. */
const leastRuns = 3

/** Where a study stands, told by what to do next: the first thing that is not done in the order of the work. */
export function standing(study: Study, runs: readonly Run[]): Standing {
  const kept = runs.filter(({ state }) => state !== 'dropped')
  const [coated, planned, measured] = (['coated', 'planned', 'measured'] as const).map((state) =>
    kept.filter((run) => run.state === state),
  ) as [Run[], Run[], Run[]]
  const [first] = coated
  if (first)
    return { words: `Read ${first.code}${more(coated.length - 1)}`, screen: 'bench', runId: first.id }
  const [next] = planned
  if (next) return { words: `Coat ${next.code}${more(planned.length - 1)}`, screen: 'bench', runId: next.id }
  if (study.targetNm === null) return { words: 'Say which thickness you need', screen: 'studies' }
  if (kept.length === 0) return { words: 'Plan the first runs', screen: 'plan' }
  const told = measured.filter(({ kind }) => kind !== 'monitor')
  if (told.length < leastRuns)
    return {
      words: `Plan more runs: ${told.length} ${told.length === 1 ? 'is' : 'are'} too few`,
      screen: 'plan',
    }
  const kinds = new Set(measured.map(({ kind }) => kind))
  if (kinds.has('confirmation')) return { words: 'See whether the recipe is confirmed', screen: 'next' }
  if (kinds.has('next')) return { words: 'Confirm the recipe, or ask for one more run', screen: 'next' }
  return { words: 'See what the runs say', screen: 'curves' }
}

const more = (n: number) => (n > 0 ? `; ${n} more after it` : '')
