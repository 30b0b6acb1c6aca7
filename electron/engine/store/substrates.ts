import type { Database } from 'better-sqlite3'
import type { Substrate } from '../../../shared/contract/materials.ts'
import { coatedStates } from '../../../shared/process/coated.ts'
import type { Coat } from '../../../shared/process/substrate-history.ts'
import { newId } from './ids.ts'
import { insertRow } from './row.ts'

/** States of a run for which resist was poured, as a condition of SQL. */
export const inCoatedState = `IN (${coatedStates.map((state) => `'${state}'`).join(', ')})`

/** The id of the substrate of a code, capitals or not; it is made where there is none. */
export function substrateNamed(db: Database, code: string): string {
  const found = db.prepare('SELECT id, removed FROM substrate WHERE code = ?').get(code) as
    | { id: string; removed: number }
    | undefined
  if (found?.removed) db.prepare('UPDATE substrate SET removed = 0 WHERE id = ?').run(found.id)
  if (found) return found.id
  const id = newId()
  insertRow(db, 'substrate', { id, code, kind: '', note: '', removed: 0 })
  return id
}

const fields = 'id, code, kind, note'

/** The substrate of a code; null where there is none. */
export function substrateOfCode(db: Database, code: string): Substrate | null {
  const found = db.prepare(`SELECT ${fields} FROM substrate WHERE code = ? AND removed = 0`).get(code)
  return (found as Substrate | undefined) ?? null
}

/** The substrate of an id; null where there is none. */
export function substrateOf(db: Database, id: string): Substrate | null {
  const found = db.prepare(`SELECT ${fields} FROM substrate WHERE id = ? AND removed = 0`).get(id)
  return (found as Substrate | undefined) ?? null
}

/** The runs of all studies that coated a substrate, in the order in which they were made. */
export function coatsOf(db: Database, substrateId: string): Coat[] {
  return db
    .prepare(
      `SELECT run.id AS runId, run.code, study.name AS study, lot, coatedAt AS at
       FROM run JOIN study ON study.id = run.studyId AND study.removed = 0
       WHERE substrateId = ? AND run.removed = 0 AND state ${inCoatedState} ORDER BY run.id`,
    )
    .all(substrateId) as Coat[]
}
