import Sqlite from 'better-sqlite3'
import type { Random } from '../../../shared/random.ts'

/** A good file after some SQL, with nothing that would keep it in order. */
export function changedBy(good: Buffer, change: (db: Sqlite.Database) => void): Buffer {
  const db = new Sqlite(Buffer.from(good))
  try {
    db.unsafeMode(true)
    for (const pragma of ['foreign_keys = OFF', 'ignore_check_constraints = ON']) db.pragma(pragma)
    try {
      change(db)
    } catch (error) {
      // What SQLite itself does not let in is no file that anybody could send.
      if (!(error instanceof Sqlite.SqliteError)) throw error
    }
    return db.serialize()
  } finally {
    db.close()
  }
}

const hostile = [
  '',
  ' ',
  'x',
  '0',
  '\0',
  '[]',
  '{}',
  '{"__proto__":{}}',
  '9e999',
  '=1+1',
  '../../a',
  '\uD800',
  '2026',
]
const cells = [
  null,
  0,
  -1,
  1.5,
  Number.POSITIVE_INFINITY,
  1e308,
  2 ** 53,
  'x'.repeat(100_000),
  Buffer.alloc(9),
  ...hostile,
]

/** One cell of some row holds something else, or what stands in another cell. */
export function oneCellChanged(db: Sqlite.Database, random: Random): string {
  const pick = <T>(list: readonly T[]) => list[random.below(list.length)] as T
  const tables = db
    .prepare(`SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite%'`)
    .pluck()
    .all() as string[]
  const filled = tables.filter((table) => db.prepare(`SELECT 1 FROM "${table}"`).get() !== undefined)
  const table = pick(filled)
  const columns = db.prepare('SELECT name FROM pragma_table_info(?)').pluck().all(table) as string[]
  const [column, other] = [pick(columns), pick(columns)]
  const row = `rowid = ${pick(db.prepare(`SELECT rowid FROM "${table}"`).pluck().all() as number[])}`
  const value = pick(cells)
  const words = `${table}.${column} = ${String(value).slice(0, 20)}`
  if (random.below(4) === 0) db.prepare(`UPDATE "${table}" SET "${column}" = "${other}" WHERE ${row}`).run()
  else db.prepare(`UPDATE OR IGNORE "${table}" SET "${column}" = ? WHERE ${row}`).run(value)
  return words
}
