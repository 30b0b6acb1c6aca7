import type { Database } from 'better-sqlite3'
import type { Run } from '../../../shared/contract/things.ts'
import { dayOf } from '../../../shared/process/bottle-state.ts'
import { isCoated } from '../../../shared/process/coated.ts'
import { newId, now } from './ids.ts'
import { fromRow, insertRow, type Row, toRow, updateRow } from './row.ts'
import { beginSession, sessionOfDay } from './sessions.ts'
import { substrateNamed } from './substrates.ts'

const columns = `id, studyId, stageId, code, standardOrder, runOrder, block, plateVisit, kind, lot, settings, recipeId,
  state, session, note, actual, steps, stepsDone, coatedAt,
  (SELECT code FROM substrate WHERE substrate.id = substrateId) AS substrate, defect, excluded`

const toRun = (row: Row) => fromRow(row, { json: ['settings', 'actual', 'steps', 'stepsDone'] }) as Run

/** The runs of a study in run order. */
export function runsOf(db: Database, studyId: string): Run[] {
  const rows = db
    .prepare(`SELECT ${columns} FROM run WHERE studyId = ? AND removed = 0 ORDER BY runOrder, code`)
    .all(studyId) as Row[]
  return rows.map(toRun)
}

/** The ids of those runs, in that order. */
export function runIdsOf(db: Database, studyId: string): string[] {
  const sql = 'SELECT id FROM run WHERE studyId = ? AND removed = 0 ORDER BY runOrder, code'
  return db.prepare(sql).pluck().all(studyId) as string[]
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
  recipeId: null,
  state: 'planned',
  session: null,
  note: '',
  actual: {},
  steps: null,
  stepsDone: {},
  coatedAt: null,
  substrate: null,
  defect: null,
  excluded: null,
} satisfies Partial<Run>

export type NewRun = Omit<Run, 'id' | keyof typeof untouched> & Partial<Pick<Run, keyof typeof untouched>>

/** Adds a run; its id. What is not given is as in a run that nothing has been done with. */
export function addRun(db: Database, run: NewRun): string {
  const id = newId()
  insertRow(db, 'run', toRow({ id, ...ofSubstrate(db, { ...untouched, ...run }) }))
  if (run.session) beginSession(db, run.studyId, run.session)
  return id
}

type RunChange = Partial<Omit<Run, 'id' | 'studyId'>>

/**
 * Changes the named fields. When a run is first said to be coated is kept with it, and a run of no session joins the only
 * one of that day.
 */
export function changeRun(db: Database, id: string, change: RunChange): void {
  updateRow(db, 'run', id, toRow(ofSubstrate(db, { ...coatedNow(db, id, change), ...change })))
}

function coatedNow(db: Database, id: string, { state }: RunChange): Pick<RunChange, 'coatedAt' | 'session'> {
  if (state === 'planned') return { coatedAt: null }
  if (state === undefined || !isCoated({ state })) return {}
  const run = db.prepare('SELECT studyId, coatedAt, session FROM run WHERE id = ?').get(id) as Pick<
    Run,
    'studyId' | 'coatedAt' | 'session'
  >
  if (run.coatedAt !== null) return {}
  const coatedAt = now()
  const session = run.session ?? sessionOfDay(db, run.studyId, dayOf(new Date(coatedAt)))
  return { coatedAt, ...(session === run.session ? {} : { session }) }
}

/** The fields as columns: the substrate of the code that is typed, which is made where there is none. */
function ofSubstrate(db: Database, { substrate: code, ...fields }: RunChange): Record<string, unknown> {
  if (code === undefined) return fields
  return { ...fields, substrateId: code === null ? null : substrateNamed(db, code) }
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
