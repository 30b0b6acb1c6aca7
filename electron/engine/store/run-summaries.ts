import type { Database } from 'better-sqlite3'
import type { Run, Study } from '../../../shared/contract/things.ts'
import { type RunSummary, summarizeRun, summaryQuestion } from '../../../shared/film/run-summary.ts'
import { good } from '../../../shared/problem.ts'
import { withFaults } from './faults.ts'
import { type KnownRun, type KnownSummary, knownRun, knownRuns } from './known-runs.ts'
import type { Store } from './open.ts'
import { readingsOfRun } from './readings.ts'
import { prepared } from './statements.ts'

/** Summaries that are written at once: some milliseconds of work. */
const atOnce = 500

/** What has been worked out and is not in the file yet, by run id. */
const toKeep = new WeakMap<Database, Map<string, KnownSummary>>()

/**
 * What the readings in force come to, by run id in the order of the runs: only those that have any. What is known or kept
 * in the file is not worked out again; the rest is, and waits for {@link keepSummaries}.
 */
export function summariesOfStudy(
  db: Database,
  study: Study,
  runs: readonly Pick<Run, 'id' | 'code'>[],
): Map<string, RunSummary> {
  const known = knownRuns(db)
  const waiting = toKeep.get(db) ?? new Map<string, KnownSummary>()
  toKeep.set(db, waiting)
  const question = summaryQuestion(study)
  const isKnown = ({ summary }: KnownRun) => summary?.question === question
  if (runs.some(({ id }) => !isKnown(knownRun(known, id))))
    for (const [id, found] of keptOf(db, study.id, question)) {
      const run = knownRun(known, id)
      if (!isKnown(run)) run.summary = { question, found }
    }
  return new Map(
    runs.flatMap(({ id, code }) => {
      const run = knownRun(known, id)
      if (run.summary?.question !== question) {
        const readings = run.readings ?? readingsOfRun(db, id)
        const found = readings.length > 0 ? summarizeRun(study, { code }, readings) : null
        run.summary = { question, found }
        if (found) waiting.set(id, run.summary)
      }
      const { found } = run.summary
      // A run may be called otherwise since.
      return found ? [[id, { ...found, film: found.film && { ...found.film, id: code } }] as const] : []
    }),
  )
}

/** The summaries in the file that answer a question, with the ids of their runs. */
function keptOf(db: Database, studyId: string, question: string): [string, RunSummary][] {
  const rows = db
    .prepare(
      `SELECT runId, summary FROM run JOIN runSummary ON runId = run.id
       WHERE studyId = ? AND removed = 0 AND question = ?`,
    )
    .raw()
    .all(studyId, question) as [string, string][]
  return rows.map(([runId, summary]) => [runId, JSON.parse(summary) as RunSummary])
}

/**
 * Writes summaries that have been worked out into the file, where they are no change that is recorded. Without them the
 * next start is only slower: where the file cannot be written they are let go, and while another process writes they wait.
 *
 * @param most how many are written at once
 */
export function keepSummaries({ db, file }: Store, most = atOnce): void {
  const waiting = toKeep.get(db)
  if (!waiting || waiting.size === 0) return
  const some = [...waiting].slice(0, most)
  const timeout = db.pragma('busy_timeout', { simple: true }) as number
  db.pragma('busy_timeout = 0')
  const written = withFaults(file, () => {
    db.transaction(() => {
      const known = knownRuns(db)
      // What has changed since is not known any more, or known as another one.
      for (const [runId, summary] of some) if (known.get(runId)?.summary === summary) keep(db, runId, summary)
    }).immediate()
    return good(null)
  })
  db.pragma(`busy_timeout = ${timeout}`)
  if (!written.ok && written.problems[0]?.code === 'databaseLocked') return
  for (const [runId, summary] of some) if (waiting.get(runId) === summary) waiting.delete(runId)
}

function keep(db: Database, runId: string, { question, found }: KnownSummary): void {
  prepared(
    db,
    `INSERT INTO runSummary (runId, question, summary) VALUES (?, ?, ?)
     ON CONFLICT DO UPDATE SET question = excluded.question, summary = excluded.summary
     WHERE question <> excluded.question`,
  ).run(runId, question, JSON.stringify(found))
}
