import type { Database } from 'better-sqlite3'
import type { Result } from '../../../shared/contract.ts'
import { good, refuse } from '../../../shared/problem.ts'
import { replay } from '../store/changes.ts'
import type { Store } from '../store/open.ts'
import { sqlite } from '../store/sqlite.ts'
import { describeStep } from '../store/step.ts'
import { findRun } from './bench.ts'
import { findStudy, type Handlers } from './handler.ts'
import { toldHistory } from './told-history.ts'

type Names = 'history.list' | 'history.read' | 'history.undo' | 'history.redo'
type Found = { id: number; label: string; studyId: string | null }

export const history: Handlers<Names> = {
  'history.list': ({ studyId, limit = 200 }, { db }) => {
    const steps = db.prepare(
      `SELECT id, at, who, label, state FROM step WHERE studyId IS ? AND kind = 'do' ORDER BY id DESC LIMIT ?`,
    )
    const found = inReach(db, studyId).flatMap((id) => steps.all(id, limit) as Result<'history.list'>)
    return good(found.sort((one, other) => other.id - one.id).slice(0, limit))
  },

  'history.read': ({ studyId, runId = null, before = Number.MAX_SAFE_INTEGER, limit = 50 }, store) => {
    const study = studyId === null ? null : findStudy(store, studyId)
    if (study && !study.ok) return study
    const run = runId === null ? null : findRun(store, runId)
    if (run && !run.ok) return run
    if (run && run.value.study.id !== studyId)
      return refuse('noSuchRun', 'There is no such run in this study.')
    return good(toldHistory(store, { studyId, runId, before, limit }))
  },

  'history.undo': ({ studyId }, store) => {
    // What lies below the step that brought a study in is not to be had without the study.
    if (studyId !== null && !isThere(store.db, studyId)) return good({ label: null, studyId: null })
    return turn(store, studyId, lastDone(store.db, studyId), 'back')
  },

  'history.redo': ({ studyId }, store) => {
    const { db } = store
    const undone = db.prepare(
      `SELECT id, label, studyId FROM step
       WHERE studyId IS ? AND kind = 'do' AND state = 'undone' AND redoable = 1 AND id > ? ORDER BY id LIMIT 1`,
    )
    // A study that was brought in has steps of its own before the one that brought it: each goes by its own study.
    const found = inReach(db, studyId).flatMap(
      (id) => (undone.get(id, lastDone(db, id)?.id ?? 0) as Found | undefined) ?? [],
    )
    return turn(store, studyId, found.sort((one, other) => one.id - other.id)[0], 'forward')
  },
}

/** The studies whose steps Undo and Redo reach: the one in hand; without one, also that whose making was taken back. */
function inReach(db: Database, studyId: string | null): (string | null)[] {
  const undone = studyId === null ? undoneStudy(db) : null
  return undone === null ? [studyId] : [studyId, undone]
}

function lastDone(db: Database, studyId: string | null): Found | undefined {
  const sql = `SELECT id, label, studyId FROM step WHERE studyId IS ? AND kind = 'do' AND state = 'done'
    ORDER BY id DESC LIMIT 1`
  return db.prepare(sql).get(studyId) as Found | undefined
}

function turn({ db }: Store, studyId: string | null, step: Found | undefined, direction: 'back' | 'forward') {
  if (!step) return good({ label: null, studyId })
  if (!replayed(db, step.id, direction))
    return refuse(
      'cannotReplay',
      `‘${step.label}’ cannot be ${direction === 'back' ? 'undone' : 'redone'} here: a tool, bottle or substrate that it names did not come with the study. Nothing was changed.`,
    )
  const back = direction === 'back'
  db.prepare('UPDATE step SET state = ?, redoable = ? WHERE id = ?').run(
    back ? 'undone' : 'done',
    back ? 1 : 0,
    step.id,
  )
  db.prepare('UPDATE step SET target = ? WHERE id = (SELECT step FROM writing)').run(step.id)
  describeStep(db, { label: `${back ? 'Undid' : 'Redid'}: ${step.label}`, studyId: step.studyId })
  return good({ label: step.label, studyId: isThere(db, step.studyId) ? step.studyId : null })
}

function isThere(db: Database, studyId: string | null): boolean {
  return db.prepare('SELECT 1 FROM study WHERE id = ? AND removed = 0').get(studyId) !== undefined
}

/** Replays a step; false where the database refuses it, as it may the history that came in with a file. */
function replayed(db: Database, step: number, direction: 'back' | 'forward'): boolean {
  try {
    replay(db, step, direction)
    return true
  } catch (error) {
    if (error instanceof sqlite().SqliteError && error.code.startsWith('SQLITE_CONSTRAINT')) return false
    throw error
  }
}

/** The study whose making was taken back last, and not made again since: nobody can have it in hand. Null without one. */
function undoneStudy(db: Database): string | null {
  const found = db
    .prepare(
      `SELECT studyId FROM step WHERE redoable = 1 AND studyId IS NOT NULL
       AND NOT EXISTS (SELECT 1 FROM study WHERE study.id = step.studyId AND removed = 0)
       ORDER BY (SELECT max(id) FROM step AS last WHERE last.studyId = step.studyId) DESC LIMIT 1`,
    )
    .pluck()
    .get() as string | undefined
  return found ?? null
}
