import type { Database } from 'better-sqlite3'
import type { Look, RecordedRow } from '../../../shared/history/look.ts'
import type { RecordedChange } from '../../../shared/history/tell.ts'
import { prepared } from './statements.ts'

/** A step as the record holds it. */
export type RecordedStep = {
  id: number
  at: string
  who: string
  label: string
  kind: 'do' | 'undo' | 'redo'
  undone: 0 | 1
  /** Made by an import, or takes one back or makes it again: the import stands for all that it brought. */
  imports: 0 | 1
}

/** Whose steps, and before which of them, newest first. */
export type Wanted = { studyId: string | null; runId: string | null; before: number; limit: number }

/** Identifiers of a run and of what stands in its history beside it; an exclusion has that of its reading. */
const touching = `
  SELECT @runId AS id
  UNION SELECT id FROM reading WHERE runId = @runId
  UNION SELECT importId FROM reading WHERE runId = @runId AND importId IS NOT NULL
  UNION SELECT later.id FROM reading AS earlier JOIN reading AS later ON later.supersedes = earlier.id
    WHERE earlier.runId = @runId
  UNION SELECT id FROM trace WHERE runId = @runId`

const columns = `id, at, who, label, kind, state = 'undone' AS undone,
  coalesce((SELECT call FROM step AS other WHERE other.id = step.target), call) = 'imports.commit' AS imports`

/** The statement by which steps are found; each reads only entries of indices beside the steps that it finds. */
export const stepsSql = {
  ofStudy: `SELECT ${columns} FROM step WHERE studyId IS @studyId AND id < @before ORDER BY id DESC LIMIT @limit`,
  ofRun: `SELECT ${columns} FROM step WHERE id IN (
      SELECT DISTINCT change.step FROM (${touching}) AS touching
      CROSS JOIN change ON change.rowId = touching.id WHERE change.step < @before
      ORDER BY change.step DESC LIMIT @limit)
    ORDER BY id DESC`,
}

export function stepsBefore(db: Database, wanted: Wanted): RecordedStep[] {
  const sql = wanted.runId === null ? stepsSql.ofStudy : stepsSql.ofRun
  return db.prepare(sql).all(wanted) as RecordedStep[]
}

/** What changes of a step are told: of an import only that it came or went, of a run's history only what touched it. */
function told({ imports }: RecordedStep, runId: string | null): string {
  const ofRun = runId === null ? '' : `AND rowId IN (${touching})`
  return `FROM change WHERE step = @step ${imports ? `AND tableName = 'import'` : ofRun}`
}

/** The recorded changes of a step in order, at most so many, and how many there are. */
export function changesOf(
  db: Database,
  step: RecordedStep,
  { runId, most }: { runId: string | null; most: number },
): { changes: RecordedChange[]; all: number } {
  const given = { step: step.id, runId, most }
  const changes = db
    .prepare(`SELECT tableName, before, after ${told(step, runId)} ORDER BY id LIMIT @most`)
    .all(given) as RecordedChange[]
  const all =
    changes.length < most
      ? changes.length
      : (db
          .prepare(`SELECT count(*) ${told(step, runId)}`)
          .pluck()
          .get(given) as number)
  return { changes, all }
}

/** Finds what changes only name; every row is read once. */
export function lookInto(db: Database): Look {
  const rows = new Map<string, RecordedRow | null>()
  const units = new Map<string, string>()
  const unit = db.prepare('SELECT unit FROM factor WHERE studyId = ? AND name = ?').pluck()
  return {
    row(table, id) {
      const key = `${table} ${id}`
      let row = rows.get(key)
      if (row === undefined) {
        const found = prepared(db, `SELECT * FROM "${table}" WHERE id = ?`).get(id)
        row = (found as RecordedRow | undefined) ?? null
        rows.set(key, row)
      }
      return row
    },
    unitOf(studyId, factor) {
      const key = `${studyId} ${factor}`
      let found = units.get(key)
      if (found === undefined) {
        found = (unit.get(studyId, factor) as string | undefined) ?? ''
        units.set(key, found)
      }
      return found
    },
  }
}
