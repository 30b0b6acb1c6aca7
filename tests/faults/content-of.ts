import { createHash } from 'node:crypto'
import Sqlite from 'better-sqlite3'

/** Everything that the database holds, as one hash. */
export function contentOf(file: string): string {
  const db = new Sqlite(file, { readonly: true })
  const hash = createHash('sha256').update(db.serialize()).digest('hex')
  db.close()
  return hash
}
