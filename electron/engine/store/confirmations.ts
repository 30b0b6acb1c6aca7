import type { Database } from 'better-sqlite3'
import type { ConfirmationRecord } from '../../../shared/contract/results/confirmation.ts'
import { newId, now } from './ids.ts'
import { fromRow, insertRow, type Row, toRow } from './row.ts'

/** What was written down before the runs of a stage were made. */
export type Confirmation = ConfirmationRecord & { id: string; studyId: string; stageId: string; at: string }

/** Writes the record of a planned confirmation; its id. */
export function addConfirmation(db: Database, confirmation: Omit<Confirmation, 'id' | 'at'>): string {
  const id = newId()
  insertRow(db, 'confirmation', toRow({ id, at: now(), ...confirmation }))
  return id
}

/** The confirmations of a study whose stage has not been taken away, newest first. */
export function confirmationsOf(db: Database, studyId: string): Confirmation[] {
  const rows = db
    .prepare(
      `SELECT confirmation.* FROM confirmation JOIN stage ON stage.id = stageId
       WHERE confirmation.studyId = ? AND stage.removed = 0 ORDER BY confirmation.id DESC`,
    )
    .all(studyId) as Row[]
  const json = ['settings', 'chance', 'runsByDay', 'errors', 'single', 'simultaneous', 'speed']
  return rows.map((row) => fromRow(row, { json }) as Confirmation)
}
