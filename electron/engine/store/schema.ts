import type { Database } from 'better-sqlite3'
import { stopRecording } from './changes.ts'
import { migrate } from './migrate.ts'
import { migrations as ours } from './migrations/all.ts'
import { sqlite } from './sqlite.ts'

/** What a file has: a database records its changes by triggers, the file of a study does not. */
type Kind = 'database' | 'study'

/** What ours have, by version and kind: it is built once in memory. */
const known = new WeakMap<readonly string[], Map<string, string>>()

/**
 * Whether tables, indexes, views and triggers are those of this version and no others. Read before anything of a
 * stranger's schema is run: a trigger or a view may do what it likes.
 */
export function hasOurSchema(db: Database, kind: Kind, migrations: readonly string[] = ours): boolean {
  const version = db.pragma('user_version', { simple: true }) as number
  if (version < 1 || version > migrations.length) return false
  const schemas = known.get(migrations) ?? new Map<string, string>()
  known.set(migrations, schemas)
  const key = `${kind} ${version}`
  const schema = schemas.get(key) ?? schemaWith(migrations.slice(0, version), kind)
  schemas.set(key, schema)
  return schemaOf(db) === schema
}

function schemaWith(migrations: readonly string[], kind: Kind): string {
  const db = new (sqlite())(':memory:')
  try {
    migrate(db, migrations)
    if (kind === 'study') stopRecording(db)
    return schemaOf(db)
  } finally {
    db.close()
  }
}

/**
 * Everything that has a definition, names that SQLite keeps for itself among them: a file may claim them. The triggers
 * that record are told by their names, for a later version may write them otherwise.
 */
const schemaOf = (db: Database): string =>
  JSON.stringify(
    db
      .prepare(
        `SELECT type, name, tbl_name, iif(type = 'trigger' AND name LIKE 'record %', '', sql) AS sql
         FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY type, name`,
      )
      .all(),
  )
