import Sqlite from 'better-sqlite3'

const identifier = /[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}/
const json = /\{"|\[\{|\[object|undefined|NaN/

/** Those of the texts that show how the database holds things: names of tables and columns, JSON, identifiers. */
export function rawIn(databaseFile: string, texts: readonly string[]): string[] {
  const db = new Sqlite(databaseFile, { readonly: true })
  const names = db
    .prepare(
      `SELECT tables.name FROM sqlite_schema AS tables WHERE type = 'table'
       UNION SELECT columns.name FROM sqlite_schema AS tables, pragma_table_info(tables.name) AS columns
       WHERE tables.type = 'table'`,
    )
    .pluck()
    .all() as string[]
  db.close()
  // Names of one word are words of the trade as well.
  const raw = new RegExp(`\\b(?:${names.filter((name) => /[a-z][A-Z]/.test(name)).join('|')})\\b`)
  return texts.filter((text) => raw.test(text) || identifier.test(text) || json.test(text))
}
