import type { Database } from 'better-sqlite3'
import type { BottleEvent, ProcessEvent, SubstrateEvent } from '../../../shared/contract/materials.ts'
import { newId } from './ids.ts'
import { insertRow } from './row.ts'
import { prepared } from './statements.ts'

type Event = Pick<BottleEvent | SubstrateEvent | ProcessEvent, 'at' | 'kind' | 'text'>
type Subject =
  | { bottleId: string; sessionId: string | null; ml: number | null }
  | { substrateId: string }
  | { studyId: string }

/** What was noted of a bottle, in time. */
export function bottleEventsOf(db: Database, bottleId: string): BottleEvent[] {
  const sql = 'SELECT id, at, kind, sessionId, ml, text FROM event WHERE bottleId = ? ORDER BY at, id'
  return prepared(db, sql).all(bottleId) as BottleEvent[]
}

/** What was noted of a substrate, in time. */
export function substrateEventsOf(db: Database, substrateId: string): SubstrateEvent[] {
  return db
    .prepare('SELECT id, at, kind, text FROM event WHERE substrateId = ? ORDER BY at, id')
    .all(substrateId) as SubstrateEvent[]
}

/** What was noted of the tools and the resist of a study, in time. */
export function processEventsOf(db: Database, studyId: string): ProcessEvent[] {
  return db
    .prepare('SELECT id, at, kind, text FROM event WHERE studyId = ? ORDER BY at, id')
    .all(studyId) as ProcessEvent[]
}

/** Notes that something happened to a bottle, a substrate, or what a study is done with. */
export function addEvent(db: Database, event: Event & Subject): void {
  insertRow(db, 'event', { id: newId(), ...event })
}

/** Takes an event back; false where there is none of that id. */
export function dropEvent(db: Database, id: string): boolean {
  return db.prepare('DELETE FROM event WHERE id = ?').run(id).changes > 0
}
