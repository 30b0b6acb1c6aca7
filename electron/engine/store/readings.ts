import type { Database } from 'better-sqlite3'
import type { Reading } from '../../../shared/contract/things.ts'
import { newId, now } from './ids.ts'
import { knownRun, knownRuns } from './known-runs.ts'
import { insertRow, type Row } from './row.ts'
import { runIdsOf } from './runs.ts'
import { prepared } from './statements.ts'

const columns = `inForce.id, inForce.runId, quantity, site, xMm, yMm, repeat, takenAfter, opticalIndex, value, text, unit, inForce.at, supersedes,
  inForce.excluded`
/** Sites in order with their repeats, then what has none, then in the order of entry. */
const order = 'site IS NULL, site, repeat, inForce.id'

/** The readings of a run that are in force: neither withdrawn nor superseded. Excluded ones carry the reason. */
export function readingsOfRun(db: Database, runId: string): Reading[] {
  const sql = `SELECT ${columns} FROM inForce WHERE runId = ? ORDER BY ${order}`
  return prepared(db, sql).all(runId) as Reading[]
}

/** The same of runs of one study, by run id in their order: only those that have any. What is known is not read again. */
export function readingsOfRuns(db: Database, runIds: readonly string[]): Map<string, readonly Reading[]> {
  const known = knownRuns(db)
  return new Map(
    runIds.flatMap((runId) => {
      const run = knownRun(known, runId)
      run.readings ??= readingsOfRun(db, runId)
      return run.readings.length > 0 ? [[runId, run.readings] as const] : []
    }),
  )
}

/** The same of all runs of a study in run order. */
export const readingsOfStudy = (db: Database, studyId: string) => readingsOfRuns(db, runIdsOf(db, studyId))

/** One reading in force with the study and the run that it belongs to, or null. */
export function readingOf(db: Database, id: string): (Reading & { studyId: string; code: string }) | null {
  const row = db
    .prepare(
      `SELECT ${columns}, run.studyId, run.code FROM inForce JOIN run ON run.id = inForce.runId
       WHERE inForce.id = ? AND run.removed = 0`,
    )
    .get(id) as (Reading & { studyId: string; code: string }) | undefined
  return row ?? null
}

export type NewReading = Omit<Reading, 'id' | 'at' | 'excluded'> & { importId?: string; at?: string }

/** Adds a reading; its id. What stood there before stays and is superseded. */
export function addReading(db: Database, reading: NewReading): string {
  const id = newId()
  insertRow(db, 'reading', { at: now(), importId: null, ...reading, id } as Row)
  return id
}

/** Marks a reading as excluded, or changes the reason. The mark has the identifier of its reading, by which the record finds it. */
export function excludeReading(db: Database, readingId: string, reason: string): void {
  db.prepare(
    `INSERT INTO exclusion (id, readingId, reason) VALUES (@readingId, @readingId, @reason)
     ON CONFLICT DO UPDATE SET reason = excluded.reason`,
  ).run({ readingId, reason })
}

/** Lifts the exclusion of a reading. */
export function includeReading(db: Database, readingId: string): void {
  db.prepare('DELETE FROM exclusion WHERE readingId = ?').run(readingId)
}

/** Takes a reading back, and with it all that it corrected: none of them is in force any more. */
export function withdrawReading(db: Database, readingId: string): void {
  db.prepare(
    `WITH RECURSIVE chain (id) AS (
       SELECT ? UNION SELECT reading.supersedes FROM reading JOIN chain ON reading.id = chain.id
       WHERE reading.supersedes IS NOT NULL
     )
     UPDATE reading SET withdrawn = 1 WHERE id IN (SELECT id FROM chain)`,
  ).run(readingId)
}
