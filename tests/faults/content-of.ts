import { createHash } from 'node:crypto'
import Sqlite from 'better-sqlite3'

/** Everything that the database holds, as one hash. */
export function contentOf(file: string): string {
  const db = new Sqlite(file, { readonly: true })
  const hash = createHash('sha256')
  const tables = db.prepare(`SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name`).pluck().all()
  for (const table of tables) hash.update(JSON.stringify(db.prepare(`SELECT * FROM "${table}"`).all()))
  db.close()
  return hash.digest('hex')
}
