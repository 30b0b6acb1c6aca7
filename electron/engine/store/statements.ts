import type { Database, Statement } from 'better-sqlite3'

const known = new WeakMap<Database, Map<string, Statement>>()

/**
 * A statement that is prepared once for a database, for what runs once a row: to prepare an insertion takes longer than to
 * run it, since all triggers of the table are prepared with it. Not to be iterated over, nor given another form of rows.
 */
export function prepared(db: Database, sql: string): Statement {
  const statements = known.get(db) ?? new Map<string, Statement>()
  known.set(db, statements)
  const statement = statements.get(sql) ?? db.prepare(sql)
  statements.set(sql, statement)
  return statement
}
