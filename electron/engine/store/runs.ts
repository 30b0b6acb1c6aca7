import type { Database } from 'better-sqlite3'
import type { Run } from '../../../shared/contract/things.ts'
import { newId } from './ids.ts'
import { fromRow, insertRow, type Row, toRow, updateRow } from './row.ts'

const columns = `id, studyId, stageId, code, standardOrder, runOrder, block, plateVisit, kind, lot, settings,
  state, session, note, actual, steps, stepsDone, substrate, defect, excluded`

const toRun = (row: Row) => fromRow(row, { json: ['settings', 'actual', 'steps', 'stepsDone'] }) as Run

/** The runs of a study in run order. */
export function runsOf(db: Database, studyId: string): Run[] {
  const rows = db
    .prepare(`SELECT ${columns} FROM run WHERE studyId = ? AND removed = 0 ORDER BY runOrder, code`)
    .all(studyId) as Row[]
  return rows.map(toRun)
}

/** One run, or null where there is none of that id. */
export function runOf(db: Database, id: string): Run | null {
  const row = db
    .prepare(
      `SELECT ${columns} FROM run WHERE id = ? AND removed = 0
       AND EXISTS (SELECT 1 FROM study WHERE study.id = studyId AND study.removed = 0)`,
    )
    .get(id) as Row | undefined
  return row ? toRun(row) : null
}

/** What a run is before anything has been done with it. */
const untouched = {
  state: 'planned',
  session: null,
  note: '',
  actual: {},
  steps: null,
  stepsDone: {},
  substrate: null,
  defect: null,
  excluded: null,
} satisfies Partial<Run>

export type NewRun = Omit<Run, 'id' | keyof typeof untouched> & Partial<Pick<Run, keyof typeof untouched>>

/** Adds a run; its id. What is not given is as in a run that nothing has been done with. */
export function addRun(db: Database, run: NewRun): string {
  const id = newId()
  insertRow(db, 'run', toRow({ id, ...untouched, ...run }))
  return id
}

export function changeRun(db: Database, id: string, change: Partial<Omit<Run, 'id' | 'studyId'>>): void {
  updateRow(db, 'run', id, toRow(change))
}

/** Takes a stage and its runs away; undo brings them back. */
export function removeStage(db: Database, stageId: string): void {
  db.prepare('UPDATE run SET removed = 1 WHERE stageId = ? AND removed = 0').run(stageId)
  db.prepare('UPDATE stage SET removed = 1 WHERE id = ?').run(stageId)
}

/** Codes for `count` new runs, W01 and on, after the highest that the study has. */
export function freeCodes(runs: readonly Pick<Run, 'code'>[], count: number): string[] {
  const numbers = runs.map(({ code }) => Number(/^W(\d+)$/.exec(code)?.[1] ?? 0))
  const last = numbers.reduce((a, b) => Math.max(a, b), 0)
  return Array.from({ length: count }, (_, i) => `W${String(last + i + 1).padStart(2, '0')}`)
}
