import { createHash } from 'node:crypto'
import Sqlite from 'better-sqlite3'

/** Everything that the database holds, as one hash; summaries of readings follow from it, and may be kept at any time. */
export function contentOf(file: string): string {
  const db = new Sqlite(file, { readonly: true })
  const hash = createHash('sha256')
  const tables = db
    .prepare(`SELECT name FROM sqlite_schema WHERE type = 'table' AND name <> 'runSummary' ORDER BY name`)
    .pluck()
    .all()
  for (const table of tables) hash.update(JSON.stringify(db.prepare(`SELECT * FROM "${table}"`).raw().all()))
  db.close()
  return hash.digest('hex')
}
