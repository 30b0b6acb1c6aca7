import type { Result } from '../shared/contract.ts'
import type { BenchWork } from './stores/bench-tab.ts'
import type { RunRow } from './stores/runs.ts'
import type { Screen } from './stores/screens.ts'
import { words } from './words.ts'

/** What to do now in a study, and where; at the bench also what is to be done with the run. */
export type Standing = { words: string; screen: Screen; runId?: string; work?: BenchWork }

type Study = Pick<Result<'studies.get'>, 'targetNm'>
/** What has come of the newest confirmation. */
export type Verdict = Result<'next.confirmations'>[number]['judgement']['verdict']
type Run = Pick<RunRow, 'id' | 'code' | 'state' | 'kind'>

/** So few measured runs say nothing about a film yet. */
const leastRuns = 3

/** Where a study stands, told by what to do next: the first thing that is not done in the order of the work. */
export function standing(study: Study, runs: readonly Run[], verdict: Verdict | null = null): Standing {
  const kept = runs.filter(({ state }) => state !== 'dropped')
  const [coated, planned, measured] = (['coated', 'planned', 'measured'] as const).map((state) =>
    kept.filter((run) => run.state === state),
  ) as [Run[], Run[], Run[]]
  const [first] = coated
  if (first)
    return {
      words: words.standing.read(first.code, coated.length - 1),
      screen: 'bench',
      runId: first.id,
      work: 'read',
    }
  const [next] = planned
  if (next)
    return {
      words: words.standing.coat(next.code, planned.length - 1),
      screen: 'bench',
      runId: next.id,
      work: 'coat',
    }
  if (study.targetNm === null) return { words: words.standing.target, screen: 'studies' }
  if (kept.length === 0) return { words: words.standing.plan, screen: 'plan' }
  const told = measured.filter(({ kind }) => kind !== 'monitor')
  if (told.length < leastRuns)
    return {
      words: words.standing.planMore(told.length),
      screen: 'plan',
    }
  const kinds = new Set(measured.map(({ kind }) => kind))
  if (kinds.has('confirmation')) return afterConfirmation(verdict)
  if (kinds.has('next')) return { words: words.standing.confirm, screen: 'next' }
  return { words: words.standing.curves, screen: 'curves' }
}

function afterConfirmation(verdict: Verdict | null): Standing {
  if (verdict === 'passed') return { words: words.standing.report, screen: 'report' }
  if (verdict === 'not passed') return { words: words.standing.notConfirmed, screen: 'next' }
  return { words: words.standing.confirmed, screen: 'next' }
}
