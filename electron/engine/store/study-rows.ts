import { newId } from './ids.ts'
import type { Row } from './row.ts'

/** The rows of a study by table, and its history. */
export type StudyRows = {
  studyId: string
  tables: Record<string, Row[]>
  steps: Row[]
  changes: Row[]
}

const identifier = /[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}/g

/** The rows with some identifiers in the place of others, wherever they stand, also within JSON. */
export function withIds(study: StudyRows, ids: ReadonlyMap<string, string>): StudyRows {
  if (ids.size === 0) return study
  const text = (cell: string) => cell.replace(identifier, (id) => ids.get(id) ?? id)
  const rows = (all: Row[]) =>
    all.map((row) =>
      Object.fromEntries(
        Object.entries(row).map(([name, cell]) => [name, typeof cell === 'string' ? text(cell) : cell]),
      ),
    )
  return {
    studyId: text(study.studyId),
    tables: Object.fromEntries(Object.entries(study.tables).map(([table, all]) => [table, rows(all)])),
    steps: rows(study.steps),
    changes: rows(study.changes),
  }
}

/** New identifiers for every row of these tables, those among them that the history alone still knows. */
export function freshIds(study: StudyRows, tables: readonly string[]): Map<string, string> {
  const own = [
    ...tables.flatMap((table) => (study.tables[table] ?? []).map((row) => row.id)),
    ...study.changes
      .filter(({ tableName }) => tables.includes(tableName as string))
      .map(({ rowId }) => rowId),
  ]
  return new Map(own.filter((id) => typeof id === 'string').map((id) => [id, newId()]))
}
