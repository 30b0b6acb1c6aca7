import type { Database } from 'better-sqlite3'
import type { LotDecision } from '../../../shared/contract/results/lot-decision.ts'
import { newId, now } from './ids.ts'
import { fromRow, insertRow, type Row, toRow } from './row.ts'

/** What was decided of the lots of a study and not undone, newest first. */
export function lotDecisionsOf(db: Database, studyId: string): LotDecision[] {
  const rows = db
    .prepare(
      `SELECT id, lot, against, decision, who, why, at, dataHash, numbers FROM lotDecision
       WHERE studyId = ? AND withdrawn = 0 ORDER BY id DESC`,
    )
    .all(studyId) as Row[]
  return rows.map((row) => fromRow(row, { json: ['numbers'] }) as LotDecision)
}

/** Keeps a signed decision; it takes the place of an older one of the same lots. */
export function addLotDecision(
  db: Database,
  decision: Omit<LotDecision, 'id' | 'at'> & { studyId: string },
): void {
  insertRow(db, 'lotDecision', toRow({ id: newId(), at: now(), ...decision }))
}
