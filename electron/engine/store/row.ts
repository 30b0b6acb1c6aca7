import type { Database } from 'better-sqlite3'
import { prepared } from './statements.ts'

/** What a column can hold. */
export type Cell = string | number | null
export type Row = Record<string, Cell>

/** Inserts a row whose keys are the columns. */
export function insertRow(db: Database, table: string, row: Row): void {
  const columns = Object.keys(row)
  prepared(
    db,
    `INSERT INTO "${table}" (${columns.map((c) => `"${c}"`).join(', ')})
     VALUES (${columns.map((c) => `@${c}`).join(', ')})`,
  ).run(row)
}

/** Changes the named columns of one row; nothing where `change` is empty. */
export function updateRow(db: Database, table: string, id: string, change: Row): void {
  const columns = Object.keys(change)
  if (columns.length === 0) return
  const sql = `UPDATE "${table}" SET ${columns.map((c) => `"${c}" = @${c}`).join(', ')} WHERE id = @id`
  prepared(db, sql).run({ ...change, id })
}

/** The column that is the primary key of a table. */
export function keyOf(db: Database, table: string): string {
  return db.prepare('SELECT name FROM pragma_table_info(?) WHERE pk = 1').pluck().get(table) as string
}

/** A plain object as a row: lists and objects as JSON, booleans as 0 and 1, fields that are undefined left out. */
export function toRow(fields: Record<string, unknown>): Row {
  const cells = Object.entries(fields).filter(([, value]) => value !== undefined)
  return Object.fromEntries(cells.map(([name, value]) => [name, toCell(value)]))
}

function toCell(value: unknown): Cell {
  if (value === null || typeof value === 'string' || typeof value === 'number') return value
  return typeof value === 'boolean' ? Number(value) : JSON.stringify(value)
}

/** The other way: the named columns from JSON, and from 0 and 1. */
export function fromRow(row: Row, columns: { json?: string[]; flags?: string[] }): Record<string, unknown> {
  const fields: Record<string, unknown> = { ...row }
  for (const name of columns.json ?? []) {
    const text = fields[name]
    if (typeof text === 'string') fields[name] = JSON.parse(text)
  }
  for (const name of columns.flags ?? []) if (name in fields) fields[name] = fields[name] === 1
  return fields
}
