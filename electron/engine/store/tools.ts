import type { Database } from 'better-sqlite3'
import type { Coater, Gauge, HotPlate } from '../../../shared/contract/tools.ts'
import { newId } from './ids.ts'
import { fromRow, insertRow, type Row, toRow, updateRow } from './row.ts'

/** The tables of tools and the thing that each holds. */
type Tools = { coater: Coater; hotPlate: HotPlate; gauge: Gauge }
export type ToolTable = keyof Tools

const flags: Record<ToolTable, string[]> = {
  coater: ['rampInside', 'limitsConfirmed'],
  hotPlate: ['limitsConfirmed'],
  gauge: [],
}

/** All tools of a table by name. */
export function toolsOf<T extends ToolTable>(db: Database, table: T): Tools[T][] {
  const rows = db.prepare(`SELECT * FROM "${table}" WHERE removed = 0 ORDER BY name, id`).all() as Row[]
  return rows.map((row) => toTool(table, row))
}

/** One tool, also one taken away, which a study may still name; null where there is none of that id. */
export function toolOf<T extends ToolTable>(db: Database, table: T, id: string | null): Tools[T] | null {
  const row = db.prepare(`SELECT * FROM "${table}" WHERE id = ?`).get(id) as Row | undefined
  return row ? toTool(table, row) : null
}

function toTool<T extends ToolTable>(table: T, row: Row): Tools[T] {
  const { removed: _, ...tool } = fromRow(row, { flags: flags[table], json: ['offsets', 'origins'] })
  return tool as Tools[T]
}

/** Makes the tool, or changes the named fields of the one with its id; the id. */
export function keepTool(
  db: Database,
  table: ToolTable,
  tool: { id?: string | undefined; name: string },
): string {
  const id = tool.id ?? newId()
  if (tool.id !== undefined && toolOf(db, table, id)) updateRow(db, table, id, toRow({ ...tool, id }))
  else insertRow(db, table, toRow({ ...tool, id }))
  return id
}
