import type { Database } from 'better-sqlite3'
import type { Result } from '../../../shared/contract.ts'
import { newId } from './ids.ts'
import { fromRow, insertRow, type Row, toRow, updateRow } from './row.ts'

export type Mapping = Result<'imports.mappings'>[number]

/** What is kept of how files are to be read, by name. */
export function mappingsOf(db: Database): Mapping[] {
  const rows = db.prepare('SELECT id, name, columns, options FROM mapping ORDER BY name').all() as Row[]
  return rows.map((row) => fromRow(row, { json: ['columns', 'options'] }) as Mapping)
}

/** Those of files with just these columns. */
export function fittingMappings(db: Database, headers: readonly string[]): Mapping[] {
  const wanted = [...headers].sort().join('\n')
  return mappingsOf(db).filter(
    ({ columns }) =>
      columns
        .map(({ column }) => column)
        .sort()
        .join('\n') === wanted,
  )
}

/** Keeps a mapping, in place of the one of its name; its id. */
export function keepMapping(db: Database, mapping: Omit<Mapping, 'id'>): string {
  const known = db.prepare('SELECT id FROM mapping WHERE name = ?').pluck().get(mapping.name) as
    | string
    | undefined
  if (known) updateRow(db, 'mapping', known, toRow(mapping))
  else {
    const id = newId()
    insertRow(db, 'mapping', toRow({ id, ...mapping }))
    return id
  }
  return known
}

/** Drops a mapping; whether there was one. */
export const dropMapping = (db: Database, id: string): boolean =>
  db.prepare('DELETE FROM mapping WHERE id = ?').run(id).changes > 0
