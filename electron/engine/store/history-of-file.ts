import type { Database } from 'better-sqlite3'
import { columnsOf } from './changes.ts'
import { keyOf, type Row } from './row.ts'
import { sharedParts, studyParts } from './study-parts.ts'
import type { StudyRows } from './study-rows.ts'

/**
 * Whether every change in the history of a file is one that was recorded of its study. Undo replays changes by the
 * table, the row and the columns that they name: those of a stranger must reach nothing that is here already.
 *
 * @param db the database before the study comes in
 */
export function isOwnHistory(db: Database, { studyId, tables, changes }: StudyRows): boolean {
  const isShared = (table: string) => table === 'event' || sharedParts.some((part) => part.table === table)
  const shapes = new Map(studyParts.map(({ table }) => [table, shapeOf(db, table)]))
  const ids = new Map<string, Set<unknown>>()
  for (const { table } of studyParts) ids.set(table, new Set((tables[table] ?? []).map(({ id }) => id)))
  for (const { tableName, rowId } of changes) ids.get(tableName as string)?.add(rowId)

  return changes.every(({ tableName, rowId, before, after }) => {
    const table = tableName as string
    const shape = shapes.get(table)
    if (!shape) return false
    const isOwn = !isShared(table)
    if (shape.isHere(rowId) && (isOwn || !tables[table]?.some(({ id }) => id === rowId))) return false
    const states = [before, after].filter((state) => state !== null)
    return (
      states.length > 0 &&
      states.every((state) => {
        const row = rowIn(state as string)
        return (
          row !== null &&
          row.id === rowId &&
          Object.keys(row).every((name) => shape.columns.has(name)) &&
          (!isOwn ||
            shape.refers.every(
              ({ from, to }) => isShared(to) || row[from] == null || ids.get(to)?.has(row[from]),
            )) &&
          (row.studyId == null || row.studyId === studyId)
        )
      })
    )
  })
}

function shapeOf(db: Database, table: string) {
  const here = db.prepare(`SELECT 1 FROM "${table}" WHERE "${keyOf(db, table)}" = ?`)
  return {
    columns: new Set(columnsOf(db, table)),
    refers: db.prepare('SELECT "from", "table" AS "to" FROM pragma_foreign_key_list(?)').all(table) as {
      from: string
      to: string
    }[],
    isHere: (id: unknown) => here.get(id) !== undefined,
  }
}

/** A row as a change keeps it: plain cells by column; null for anything else. */
function rowIn(json: string): Row | null {
  try {
    const row = JSON.parse(json) as unknown
    if (typeof row !== 'object' || row === null || Array.isArray(row)) return null
    const isCell = (cell: unknown) => cell === null || typeof cell === 'string' || typeof cell === 'number'
    return Object.values(row).every(isCell) ? (row as Row) : null
  } catch {
    return null
  }
}
