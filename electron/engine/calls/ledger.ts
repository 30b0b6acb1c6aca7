import type { Run, Study } from '../../../shared/contract/things.ts'
import type { Result } from '../../../shared/contract.ts'
import { meanOf, nothingRead } from '../../../shared/film/run-summary.ts'
import { parseFormula } from '../../../shared/model/formula.ts'
import { responseScale, toModel } from '../../../shared/model/response.ts'
import { type ScoredEntry, scoreLedger } from '../../../shared/next/ledger-score.ts'
import { good } from '../../../shared/problem.ts'
import type { Store } from '../store/open.ts'
import { predictionsOf } from '../store/predictions.ts'
import { summariesOfStudy } from '../store/run-summaries.ts'
import { runsOf } from '../store/runs.ts'
import { findStudy, type Handlers } from './handler.ts'

type Ledger = Result<'next.ledger'>
type NotJudged = NonNullable<Ledger['entries'][number]['notJudged']>

export const ledger: Handlers<'next.ledger'> = {
  'next.ledger': ({ studyId }, store) => {
    const found = findStudy(store, studyId)
    if (!found.ok) return found
    return good(ledgerOf(store, found.value))
  },
}

/** Every prediction that was kept, with what came of it. */
export function ledgerOf({ db }: Store, study: Study): Ledger {
  const all = runsOf(db, study.id)
  const runs = new Map(all.map((run) => [run.id, run]))
  const summaries = summariesOfStudy(db, study, all)
  const entries = predictionsOf(db, study.id).map(({ studyId: _, sessions, ...entry }) => {
    const run = runs.get(entry.runId ?? '')
    const measured = meanOf(summaries.get(run?.id ?? '') ?? nothingRead, entry.response)
    const notJudged = whyNotJudged(run, measured, entry.scope === 'otherSession' ? null : sessions)
    return {
      ...entry,
      code: run?.code ?? null,
      session: run?.session ?? null,
      measured,
      inside: measured === null || notJudged ? null : measured >= entry.lower && measured <= entry.upper,
      notJudged,
    }
  })
  const when = (entry: (typeof entries)[number]) => runs.get(entry.runId ?? '')?.coatedAt ?? entry.at
  const byTime = [...entries].sort((a, b) => when(a).localeCompare(when(b)))
  return { entries, score: scoreLedger(byTime.flatMap(scored)) }
}

/** On the scale of the model that predicted it; nothing where it is not judged. */
function scored(entry: Ledger['entries'][number]): ScoredEntry[] {
  const { measured, inside, estimate, errors } = entry
  const formula = parseFormula(entry.model)
  if (measured === null || inside === null || !formula.ok || !formula.value.response) return []
  const scale = responseScale(formula.value.response)
  const error = toModel(scale, measured) - toModel(scale, estimate)
  if (!Number.isFinite(error)) return []
  const fit = `${entry.dataHash} ${entry.model}`
  return [{ session: entry.session, fit, error, errors, share: measured / estimate - 1, inside }]
}

/**
 * Why an interval is not held against the run, or null where it is.
 *
 * @param sessions for which it was given; null: for any
 */
function whyNotJudged(
  run: Run | undefined,
  measured: number | null,
  sessions: string[] | null,
): NotJudged | null {
  if (measured === null || !run) return 'not measured'
  if (run.excluded !== null || run.state === 'dropped' || run.state === 'failed') return 'left out'
  if (run.state !== 'measured') return 'not measured'
  if (sessions === null) return null
  if (run.session === null) return sessions.length > 0 ? 'session not known' : null
  return sessions.includes(run.session) ? null : 'another session'
}
