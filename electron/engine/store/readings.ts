import type { Database } from 'better-sqlite3'
import type { Reading } from '../../../shared/contract/things.ts'
import { newId, now } from './ids.ts'
import { knownReadings } from './known-readings.ts'
import { insertRow, type Row } from './row.ts'
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

/** The same of a whole study, by run id in run order: only the runs that have any. What is known is not read again. */
export function readingsOfStudy(db: Database, studyId: string): Map<string, readonly Reading[]> {
  const runIds = db
    .prepare('SELECT id FROM run WHERE studyId = ? AND removed = 0 ORDER BY runOrder, code')
    .pluck()
    .all(studyId) as string[]
  const known = knownReadings(db)
  for (const runId of runIds) if (!known.has(runId)) known.set(runId, readingsOfRun(db, runId))
  return new Map(
    runIds.flatMap((runId) => {
      const readings = known.get(runId) as readonly Reading[]
      return readings.length > 0 ? [[runId, readings] as const] : []
    }),
  )
}

/** What has been read in a study besides thickness, by name. */
export function quantitiesOf(db: Database, studyId: string): string[] {
  return db
    .prepare(
      `SELECT DISTINCT quantity FROM run JOIN inForce ON inForce.runId = run.id
       WHERE run.studyId = ? AND run.removed = 0 AND quantity <> 'thickness'`,
    )
    .pluck()
    .all(studyId) as string[]
}

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
