import { inflateSync } from 'node:zlib'
import type { Database } from 'better-sqlite3'
import type { Result } from '../../../shared/contract.ts'
import { fileLimits } from '../../../shared/limits.ts'
import type { ImportedReading } from './importing.ts'

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

/** What has come into a study, newest first; what is still on its way is not told of. */
export function importsOf(db: Database, studyId: string): Result<'imports.list'> {
  const rows = db
    .prepare(
      `SELECT id, fileName, sha256, runs, readings, at, withdrawn FROM import
       WHERE studyId = ? AND NOT EXISTS (SELECT 1 FROM importing WHERE importId = id) ORDER BY id DESC`,
    )
    .all(studyId) as (Omit<Result<'imports.list'>[number], 'undone'> & { withdrawn: number })[]
  return rows.map(({ withdrawn, ...row }) => ({ ...row, undone: withdrawn === 1 }))
}

/** Name and text of an imported file, or null where there is none of that id, or it cannot be read. */
export function textOfImport(db: Database, importId: string): { fileName: string; text: string } | null {
  const found = db
    .prepare('SELECT fileName, text FROM import JOIN importText ON importId = id WHERE id = ?')
    .get(importId) as { fileName: string; text: Buffer } | undefined
  if (!found) return null
  try {
    // In UTF-8 a character takes three bytes at most.
    const bytes = inflateSync(found.text, { maxOutputLength: 3 * fileLimits.table.characters })
    return { fileName: found.fileName, text: bytes.toString('utf8') }
  } catch {
    return null
  }
}

/** Adds a piece of the readings of an import. They stand or go with it. */
export function addImportedReadings(db: Database, readings: readonly ImportedReading[]): void {
  const insert = db.prepare(
    `INSERT INTO reading (id, runId, importId, quantity, site, xMm, yMm, value, text, unit, at, supersedes,
       repeat, takenAfter, opticalIndex)
     VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
  )
  for (const reading of readings) insert.run(...reading)
}
