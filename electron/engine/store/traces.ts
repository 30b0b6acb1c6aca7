import type { Database } from 'better-sqlite3'
import type { Scan } from '../../../shared/contract/calls/traces.ts'
import { newId, now } from './ids.ts'
import { fromRow, insertRow, type Row, toRow, updateRow } from './row.ts'

const columns = `trace.id, trace.runId, site, name, at, positionUnit, heightUnit, points, regions, bow, found,
  problem, trace.excluded`
const toScan = (row: Row) => fromRow(row, { json: ['regions', 'found'], flags: ['bow'] }) as Scan

/** The scans of a run, by site and in the order of import. */
export function scansOfRun(db: Database, runId: string): Scan[] {
  const rows = db
    .prepare(
      `SELECT ${columns} FROM trace WHERE runId = ? AND withdrawn = 0 ORDER BY site IS NULL, site, trace.id`,
    )
    .all(runId) as Row[]
  return rows.map(toScan)
}

/** One scan, or null where there is none (any more). */
export function scanOf(db: Database, id: string): Scan | null {
  const row = db
    .prepare(
      `SELECT ${columns} FROM trace JOIN run ON run.id = trace.runId
       WHERE trace.id = ? AND withdrawn = 0 AND run.removed = 0`,
    )
    .get(id) as Row | undefined
  return row ? toScan(row) : null
}

/** The packed points of a scan. */
export function pointsOf(db: Database, traceId: string): Uint8Array {
  return db.prepare('SELECT points FROM tracePoints WHERE traceId = ?').pluck().get(traceId) as Uint8Array
}

/** The name of a scan of the run with the very same points, if there is one. */
export function sameScan(db: Database, runId: string, packed: Uint8Array): string | null {
  const name = db
    .prepare(
      `SELECT name FROM trace JOIN tracePoints ON traceId = trace.id
       WHERE runId = ? AND withdrawn = 0 AND tracePoints.points = ? LIMIT 1`,
    )
    .pluck()
    .get(runId, packed)
  return (name as string | undefined) ?? null
}

/** Adds a scan with its packed points; its id. */
export function addScan(db: Database, scan: Omit<Scan, 'id' | 'at'>, packed: Uint8Array): string {
  const id = newId()
  insertRow(db, 'trace', toRow({ ...scan, id, at: now() }))
  db.prepare('INSERT INTO tracePoints (traceId, points) VALUES (?, ?)').run(id, packed)
  return id
}

export function changeScan(
  db: Database,
  id: string,
  change: Partial<Pick<Scan, 'regions' | 'bow' | 'found' | 'problem' | 'excluded'>>,
): void {
  updateRow(db, 'trace', id, toRow(change))
}

/** Notes of which scans a reading was made. */
export function linkReading(db: Database, readingId: string, traceIds: readonly string[]): void {
  const known = new Set(scansOfReading(db, readingId))
  for (const traceId of traceIds)
    if (!known.has(traceId)) insertRow(db, 'readingTrace', { id: newId(), readingId, traceId })
}

/** The scans of which a reading was made. */
export function scansOfReading(db: Database, readingId: string): string[] {
  return db
    .prepare('SELECT traceId FROM readingTrace WHERE readingId = ? ORDER BY traceId')
    .pluck()
    .all(readingId) as string[]
}
