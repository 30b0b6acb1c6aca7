import type { Database } from 'better-sqlite3'
import { type Answer, refuse } from '../../../shared/problem.ts'
import { answeredBefore, keepAnswer } from './answered.ts'
import { forgetRuns } from './known-runs.ts'
import type { Store } from './open.ts'

/** What a step is: the call that made it, how it is called in the history, the study that it belongs to. */
export type StepWords = { label: string; studyId: string | null }
type NewStep = { call: string; who: string; kind: 'do' | 'undo' | 'redo'; key?: string | undefined }

/**
 * Runs one writer in one immediate transaction under one new step. Where the writer refuses, or changes nothing,
 * nothing is kept, no step either. A new step in a study ends the possibility to redo what was undone there. With a `key`
 * the answer is kept in the same transaction, and where one is kept already nothing is done again.
 */
export function writeStep<T>(
  store: Store,
  step: NewStep,
  writer: () => Answer<T>,
): { answer: Answer<T>; changed: boolean } {
  const { db } = store
  let answer: Answer<T> | undefined
  const refused = new Error('refused')
  const transaction = db.transaction(() => {
    const before = step.key === undefined ? null : answeredBefore(store, step.key)
    if (before) {
      answer = before as Answer<T>
      return false
    }
    startStep(db, step)
    answer = writer()
    // Nobody could undo a step of a study that is not there.
    if (answer.ok && step.kind === 'do' && !isOfSomething(db))
      answer = refuse('noSuchStudy', 'There is no such study here (any more).') as Answer<T>
    if (!answer.ok) throw refused
    const changed = finishStep(db, step.kind)
    if (changed && step.key !== undefined) keepAnswer(db, step.key, answer)
    return changed
  })
  try {
    const changed = transaction.immediate()
    return { answer: answer as Answer<T>, changed }
  } catch (error) {
    forgetRuns(db)
    if (error !== refused) throw error
    return { answer: answer as Answer<T>, changed: false }
  }
}

/** Names the step in progress. */
export function describeStep(db: Database, words: StepWords): void {
  db.prepare('UPDATE step SET label = @label, studyId = @studyId WHERE id = (SELECT step FROM writing)').run(
    words,
  )
}

/** Whether the step in progress is of no study, or of one that is there. */
const isOfSomething = (db: Database) =>
  db
    .prepare(
      `SELECT 1 FROM writing JOIN step ON step.id = writing.step
       WHERE studyId IS NULL OR EXISTS (SELECT 1 FROM study WHERE study.id = studyId AND removed = 0)`,
    )
    .get() !== undefined

/** Gives the step in progress a new number behind all others; to be called before it has changed anything. */
export function moveStepBehind(db: Database): void {
  const before = stepInProgress(db)
  const { lastInsertRowid } = db
    .prepare(
      'INSERT INTO step (at, who, call, label, kind) SELECT at, who, call, label, kind FROM step WHERE id = ?',
    )
    .run(before)
  db.prepare('UPDATE writing SET step = ?').run(lastInsertRowid)
  db.prepare('DELETE FROM step WHERE id = ?').run(before)
}

const stepInProgress = (db: Database) => db.prepare('SELECT step FROM writing').pluck().get() as number

function startStep(db: Database, { call, who, kind }: NewStep): void {
  const { lastInsertRowid } = db
    .prepare(`INSERT INTO step (at, who, call, label, kind) VALUES (?, ?, ?, '', ?)`)
    .run(new Date().toISOString(), who, call, kind)
  db.prepare('UPDATE writing SET step = ?').run(lastInsertRowid)
}

/** Ends the step; whether it changed anything. */
function finishStep(db: Database, kind: NewStep['kind']): boolean {
  const id = stepInProgress(db)
  db.prepare('UPDATE writing SET step = NULL').run()
  if (!db.prepare('SELECT 1 FROM change WHERE step = ?').get(id)) {
    db.prepare('DELETE FROM step WHERE id = ?').run(id)
    return false
  }
  if (kind === 'do')
    db.prepare(
      `UPDATE step SET redoable = 0
       WHERE redoable = 1 AND studyId = (SELECT studyId FROM step WHERE id = ?)`,
    ).run(id)
  return true
}
