import type { Database } from 'better-sqlite3'
import { studyParts } from './study-parts.ts'

/** Whether a row of a study refers to one that is not there; the rest of the database is not looked at. */
export function hasOrphans(db: Database, studyId: string): boolean {
  return studyParts.some(({ table, rows }) =>
    referencesOf(db, table).some(
      ({ from, table: other, to }) =>
        db
          .prepare(
            `SELECT 1 FROM "${table}" AS own WHERE (${rows}) AND own."${from}" IS NOT NULL
             AND NOT EXISTS (SELECT 1 FROM "${other}" AS other WHERE other."${to}" = own."${from}")`,
          )
          .get({ studyId }) !== undefined,
    ),
  )
}

/** The columns of a table that refer to others. */
export const referencesOf = (db: Database, table: string) =>
  db.prepare('SELECT "from", "table", "to" FROM pragma_foreign_key_list(?)').all(table) as {
    from: string
    table: string
    to: string
  }[]
