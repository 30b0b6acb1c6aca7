import type { Database } from 'better-sqlite3'
import type { Bottle, BottleInput } from '../../../shared/contract/materials.ts'
import type { Session } from '../../../shared/contract/things.ts'
import { bottleState, dayOf, isDay, type Pour } from '../../../shared/process/bottle-state.ts'
import { bottleEventsOf } from './events.ts'
import { newId } from './ids.ts'
import { insertRow, toRow, updateRow } from './row.ts'
import { sessionIdOf, sessionsOf } from './sessions.ts'
import { prepared } from './statements.ts'
import { inCoatedState } from './substrates.ts'

const fields = 'id, name, resist, lot, sizeMl, expires, openedFirst'
type Kept = BottleInput & { id: string }

/** All bottles, the newest first. */
export function bottlesOf(db: Database, at?: string): Bottle[] {
  const bottles = db
    .prepare(`SELECT ${fields} FROM bottle WHERE removed = 0 ORDER BY id DESC`)
    .all() as Kept[]
  return bottles.map((bottle) => withState(db, bottle, at))
}

/** One bottle; null where there is none of that id. `at` is the session that is asked about. */
export function bottleOf(db: Database, id: string | null, at?: string): Bottle | null {
  const bottle = db.prepare(`SELECT ${fields} FROM bottle WHERE id = ?`).get(id) as Kept | undefined
  return bottle ? withState(db, bottle, at) : null
}

/**
 * The bottle of a session as it was then: how often it had been opened, and for how many days; null where it names no
 * bottle, the days where one of the two days is not written.
 */
export function bottleAt(
  db: Database,
  studyId: string,
  { name, day, bottleId }: Pick<Session, 'name' | 'day' | 'bottleId'>,
): { openings: number; daysOpen: number | null } | null {
  const bottle = bottleOf(db, bottleId, sessionIdOf(db, studyId, name))
  if (bottle === null) return null
  const { openings, openedFirst } = bottle
  const known = isDay(day) && isDay(openedFirst)
  return { openings, daysOpen: known ? (Date.parse(day) - Date.parse(openedFirst)) / 86_400_000 : null }
}

/** The sessions of a study, each with its bottle as it was then. */
export function sessionsWithBottles(db: Database, studyId: string) {
  return sessionsOf(db, studyId).map((session) => ({ ...session, bottle: bottleAt(db, studyId, session) }))
}

/** Makes a bottle; its id. */
export function addBottle(db: Database, bottle: BottleInput): string {
  const id = newId()
  insertRow(db, 'bottle', toRow({ id, ...bottle, removed: false }))
  return id
}

/** Changes the named fields of a bottle. */
export function changeBottle(db: Database, id: string, change: Partial<BottleInput>): void {
  updateRow(db, 'bottle', id, toRow(change))
}

function withState(db: Database, bottle: Kept, at: string | undefined): Bottle {
  const pours = poursFrom(db, bottle.id)
  const events = bottleEventsOf(db, bottle.id).map((event) => ({ ...event, day: dayOf(new Date(event.at)) }))
  const asked = pours.find(({ sessionId }) => sessionId === at)
  return { ...bottle, ...bottleState({ bottle, events, pours, at: asked }) }
}

/** What the sessions of all studies took from a bottle; a practice study pours nothing. */
function poursFrom(db: Database, bottleId: string): Pour[] {
  const sql = `SELECT session.id AS sessionId, day, coatMl, purgeMl, dummies,
      (SELECT count(*) FROM run WHERE run.studyId = study.id AND run.session = session.name
        AND run.removed = 0 AND state ${inCoatedState}) AS coats
    FROM session JOIN study ON study.id = session.studyId AND study.removed = 0 AND practice IS NULL
    WHERE session.bottleId = ?`
  return prepared(db, sql).all(bottleId) as Pour[]
}
