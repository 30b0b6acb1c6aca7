import type { Database } from 'better-sqlite3'

/** How a file is read through: after an unclean end, where the log is still there, indexes are held against their tables too. */
export type Reading = 'quick' | 'thorough'

/**
 * Reads a database through, or one table of it with its indexes.
 *
 * @returns what is wrong, as part of a sentence, or null
 */
export function damageOf(db: Database, how: Reading, table?: string): string | null {
  const [check, of] = [how === 'thorough' ? 'integrity_check' : 'quick_check', table ? `("${table}")` : '']
  // What the check finds is in terms of pages and trees, which help nobody to go on.
  if (db.pragma(check + of, { simple: true }) !== 'ok') return 'parts of it cannot be read'
  const orphans = db.pragma(`foreign_key_check${of}`) as { table: string }[]
  return orphans[0] ? `a row of ‘${orphans[0].table}’ refers to one that is missing` : null
}

/** The same, a table after the other: a thread that does it can be ended in between. */
export function damageByTable(db: Database, how: Reading): string | null {
  const tables = db.prepare(`SELECT name FROM sqlite_schema WHERE type = 'table'`).pluck().all() as string[]
  for (const table of tables) {
    const damage = damageOf(db, how, table)
    if (damage !== null) return damage
  }
  return null
}
