import type { Database } from 'better-sqlite3'
import type { Reading } from '../../../shared/contract/things.ts'
import { newId, now } from './ids.ts'
import { insertRow } from './row.ts'

/** One import on record: where it came from, by its hash, and how much it brought. */
export type NewImport = { studyId: string; fileName: string; sha256: string; runs: number; readings: number }

/** Puts an import on record; its id. */
export function addImport(db: Database, record: NewImport): string {
  const id = newId()
  insertRow(db, 'import', { id, at: now(), ...record })
  return id
}

/** The import of the same content into the study that stands, if there is one. */
export function importOf(
  db: Database,
  studyId: string,
  sha256: string,
): { fileName: string; at: string } | null {
  const found = db
    .prepare('SELECT fileName, at FROM import WHERE studyId = ? AND sha256 = ? AND withdrawn = 0 LIMIT 1')
    .get(studyId, sha256)
  return (found as { fileName: string; at: string } | undefined) ?? null
}

/** Adds readings of an import; their ids in order. They stand or go with the import. */
export function addImportedReadings(
  db: Database,
  importId: string,
  readings: readonly Omit<Reading, 'id' | 'excluded'>[],
): string[] {
  const insert = db.prepare(
    `INSERT INTO reading (id, runId, importId, quantity, site, xMm, yMm, value, text, unit, at, supersedes)
     VALUES (@id, @runId, @importId, @quantity, @site, @xMm, @yMm, @value, @text, @unit, @at, @supersedes)`,
  )
  return readings.map((reading) => {
    const id = newId()
    insert.run({ ...reading, id, importId })
    return id
  })
}
