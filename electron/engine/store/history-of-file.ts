import type { Database } from 'better-sqlite3'
import { columnsOf } from './changes.ts'
import { referencesOf } from './orphans.ts'
import { keyOf, type Row } from './row.ts'
import { sharedParts, studyParts } from './study-parts.ts'
import type { StudyRows } from './study-rows.ts'

/** Tables whose changes a study's history tells of and whose rows do not go with it: what the gauges of a lab are worth. */
const staysBehind = new Set(['gaugeStudy', 'gaugeReading', 'checkStandard', 'checkReading'])

/**
 * The history in a file as it can be replayed here, or null where a change in it is none that was recorded of its study.
 * Undo replays changes by the table, the row and the columns that they name: those of a stranger must reach nothing that
 * is here already. What befell a tool, bottle or substrate that is here already, or that does not come with the
 * study, is left out, and so are steps that nothing is left of.
 *
 * @param db the database before the study comes in
 */
export function historyToKeep(
  db: Database,
  { studyId, tables, steps, changes }: StudyRows,
): Pick<StudyRows, 'steps' | 'changes'> | null {
  const isShared = (table: string) => table === 'event' || sharedParts.some((part) => part.table === table)
  const shapes = new Map(studyParts.map(({ table }) => [table, shapeOf(db, table)]))
  const ids = new Map<string, Set<unknown>>()
  for (const { table } of studyParts) ids.set(table, new Set((tables[table] ?? []).map(({ id }) => id)))
  const comes = ({ tableName, rowId }: Row) => ids.get(tableName as string)?.has(rowId) ?? false
  const staysOut = (change: Row) => {
    const table = change.tableName as string
    if (staysBehind.has(table)) return true
    return (
      isShared(table) && (shapes.get(table)?.isHere(change.rowId) || (table !== 'event' && !comes(change)))
    )
  }
  const kept = changes.filter((change) => !staysOut(change))
  for (const { tableName, rowId } of kept) ids.get(tableName as string)?.add(rowId)

  const isOwn = ({ tableName, rowId, before, after }: Row) => {
    const table = tableName as string
    const shape = shapes.get(table)
    if (!shape || shape.isHere(rowId)) return false
    const states = [before, after].filter((state) => state !== null)
    return (
      states.length > 0 &&
      states.every((state) => {
        const row = rowIn(state as string)
        return (
          row !== null &&
          row.id === rowId &&
          Object.keys(row).every((name) => shape.columns.has(name)) &&
          (isShared(table) ||
            shape.refers.every(
              ({ from, table: other }) =>
                isShared(other) || row[from] == null || ids.get(other)?.has(row[from]),
            )) &&
          (row.studyId == null || row.studyId === studyId)
        )
      })
    )
  }
  if (!kept.every(isOwn)) return null
  const filled = new Set(kept.map(({ step }) => step))
  return { steps: steps.filter(({ id }) => filled.has(id)), changes: kept }
}

function shapeOf(db: Database, table: string) {
  const here = db.prepare(`SELECT 1 FROM "${table}" WHERE "${keyOf(db, table)}" = ?`)
  return {
    columns: new Set(columnsOf(db, table)),
    refers: referencesOf(db, table),
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
