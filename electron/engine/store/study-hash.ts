import { createHash } from 'node:crypto'
import type { Database } from 'better-sqlite3'
import { columnsOf, marks } from './changes.ts'
import { keyOf } from './row.ts'
import { studyParts } from './study-parts.ts'

const importStands = 'EXISTS (SELECT 1 FROM import WHERE import.id = importId AND import.withdrawn = 0)'

/** What hangs on rows that are taken away by a mark goes with them. */
const alsoStands: Record<string, string> = {
  reading: `(importId IS NULL OR ${importStands})`,
  importText: importStands,
  tracePoints: 'EXISTS (SELECT 1 FROM trace WHERE trace.id = traceId AND trace.withdrawn = 0)',
}

/**
 * One SHA-256 over the data of a study and of the tools that it names, in hexadecimal digits: the same in every
 * database that holds the same, and after a step that was undone. What was taken away does not count, nor the history.
 */
export function studyHash(db: Database, studyId: string): string {
  const hash = createHash('sha256')
  for (const { table, rows } of studyParts) {
    // How a report is put together is nothing that was measured or decided.
    if (table === 'report') continue
    const columns = columnsOf(db, table).sort()
    const mark = marks[table]
    hash.update(`${table}\n`)
    const found = db
      .prepare(
        `SELECT ${columns.map((name) => `"${name}"`).join(', ')} FROM "${table}"
         WHERE (${rows}) ${mark ? `AND "${mark}" = 0` : ''} AND ${alsoStands[table] ?? '1'} ORDER BY "${keyOf(db, table)}"`,
      )
      .raw()
      .iterate({ studyId }) as IterableIterator<unknown[]>
    for (const row of found)
      hash.update(
        `${JSON.stringify(row.map((cell) => (Buffer.isBuffer(cell) ? cell.toString('base64') : cell)))}\n`,
      )
  }
  return hash.digest('hex')
}
