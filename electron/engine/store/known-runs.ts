import type { Database } from 'better-sqlite3'
import type { Reading } from '../../../shared/contract/things.ts'
import type { RunSummary } from '../../../shared/film/run-summary.ts'

/** What readings come to, for one `summaryQuestion`; null where nothing is read. */
export type KnownSummary = { question: string; found: RunSummary | null }
/** What is known of a run: its readings in force, and what they come to. */
export type KnownRun = { readings?: readonly Reading[]; summary?: KnownSummary }

/** Runs as they stood after a change of the database, by id. */
type Known = { change: number; runs: Map<string, KnownRun> }

const knownOf = new WeakMap<Database, Known>()

/**
 * What has been read of runs before and still stands, to be filled up by whoever reads more. The record of changes says
 * which runs have been touched since, by this process or another.
 */
export function knownRuns(db: Database): Map<string, KnownRun> {
  const change = db.prepare('SELECT coalesce(max(id), 0) FROM change').pluck().get() as number
  const known = knownOf.get(db)
  const touched = known && change >= known.change ? runsTouched(db, known.change, change) : null
  if (!known || !touched) {
    const fresh: Known = { change, runs: new Map() }
    knownOf.set(db, fresh)
    return fresh.runs
  }
  for (const runId of touched) known.runs.delete(runId)
  known.change = change
  return known.runs
}

/** What is known of one run, to be filled up. */
export function knownRun(known: Map<string, KnownRun>, runId: string): KnownRun {
  const run = known.get(runId) ?? {}
  known.set(runId, run)
  return run
}

/** To be called where a transaction is taken back: the numbers of its changes will stand for other ones. */
export function forgetRuns(db: Database): void {
  knownOf.delete(db)
}

/** Runs whose readings changed after one change up to another; null where an import came or went, or a backup was put back. */
function runsTouched(db: Database, after: number, upTo: number): string[] | null {
  if (after === upTo) return []
  const rows = db
    .prepare(
      `SELECT DISTINCT tableName, reading.runId,
         (SELECT runId FROM reading AS earlier WHERE earlier.id = reading.supersedes) AS earlierRunId
       FROM change LEFT JOIN reading
         ON reading.id = iif(tableName = 'exclusion', json_extract(coalesce(after, before), '$.readingId'), rowId)
       WHERE change.id > ? AND change.id <= ? AND tableName IN ('reading', 'exclusion', 'import', 'database')`,
    )
    .all(after, upTo) as { tableName: string; runId: string | null; earlierRunId: string | null }[]
  if (rows.some(({ tableName }) => tableName === 'import' || tableName === 'database')) return null
  // A reading that is moved to another run supersedes one that no longer counts in its own.
  return rows.flatMap(({ runId, earlierRunId }) => [runId, earlierRunId]).filter((id) => id !== null)
}
