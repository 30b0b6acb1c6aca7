import { createHash } from 'node:crypto'
import Sqlite from 'better-sqlite3'
import { marks } from '../../electron/engine/store/changes.ts'

/** The record itself, what hangs on rows that may be taken away by a mark, and what follows from the rest. */
const aside = new Set([
  ...['step', 'change', 'writing', 'importing', 'answered', 'importText', 'tracePoints', 'runSummary'],
])

/** All that stands in a database, as one hash; the record of it and what was taken away do not count. */
export function standingIn(file: string): string {
  const db = new Sqlite(file, { readonly: true })
  const hash = createHash('sha256')
  const tables = db
    .prepare(
      `SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite!_%' ESCAPE '!' ORDER BY name`,
    )
    .pluck()
    .all() as string[]
  for (const table of tables.filter((name) => !aside.has(name))) {
    const from = table === 'reading' ? 'standing' : table
    const rows = db
      .prepare(`SELECT * FROM "${from}" ${marks[table] ? `WHERE "${marks[table]}" = 0` : ''}`)
      .all()
    hash.update(
      table +
        rows
          .map((row) => JSON.stringify(row))
          .sort()
          .join(),
    )
  }
  db.close()
  return hash.digest('hex')
}
