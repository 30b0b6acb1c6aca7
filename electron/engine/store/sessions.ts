import type { Database } from 'better-sqlite3'
import type { PlateVisit, Session } from '../../../shared/contract/things.ts'
import { newId } from './ids.ts'
import { insertRow, type Row, toRow, updateRow } from './row.ts'

/** What is recorded of the sessions of a study, by name. */
export function sessionsOf(db: Database, studyId: string): Session[] {
  return db
    .prepare(
      `SELECT name, day, operator, roomTemperature, humidity, bottleId, note FROM session
       WHERE studyId = ? ORDER BY day, name`,
    )
    .all(studyId) as Session[]
}

/** A session of which nothing is known but its name. */
export const emptySession = (name: string): Session => ({
  name,
  day: '',
  operator: '',
  roomTemperature: null,
  humidity: null,
  bottleId: null,
  note: '',
})

/** What is recorded of the plate visits of a study, by number. */
export function plateVisitsOf(db: Database, studyId: string): PlateVisit[] {
  return db
    .prepare('SELECT number, display, surface, setAt, note FROM plateVisit WHERE studyId = ? ORDER BY number')
    .all(studyId) as PlateVisit[]
}

/** Keeps what is known of a session; `renames` is the name that it had. */
export function keepSession(db: Database, studyId: string, session: Session, renames = session.name): void {
  keep(db, 'session', { studyId, name: renames }, { studyId, ...session })
  if (renames !== session.name)
    db.prepare('UPDATE run SET session = ? WHERE studyId = ? AND session = ?').run(
      session.name,
      studyId,
      renames,
    )
}

/** A session that runs are put into pours from the study's bottle, where one is chosen and nothing is recorded yet. */
export function beginSession(db: Database, studyId: string, name: string): void {
  const bottleId = db.prepare('SELECT bottleId FROM study WHERE id = ?').pluck().get(studyId) as string | null
  if (bottleId === null || sessionIdOf(db, studyId, name) !== undefined) return
  keepSession(db, studyId, { ...emptySession(name), bottleId })
}

/**
 * The study has another bottle: sessions with runs still to be coated pour from it, where no bottle is noted, and where
 * the one before is noted and nothing has been poured yet.
 */
export function pourOpenSessionsFrom(
  db: Database,
  studyId: string,
  { before, now }: { before: string | null; now: string },
): void {
  const known = sessionsOf(db, studyId)
  const open = db
    .prepare(
      `SELECT session AS name, sum(state NOT IN ('planned', 'dropped')) AS poured FROM run
       WHERE studyId = ? AND session IS NOT NULL AND removed = 0
       GROUP BY session HAVING sum(state = 'planned') > 0`,
    )
    .all(studyId) as { name: string; poured: number }[]
  for (const { name, poured } of open) {
    const session = known.find((one) => one.name === name) ?? emptySession(name)
    if (session.bottleId === null || (session.bottleId === before && poured === 0))
      keepSession(db, studyId, { ...session, bottleId: now })
  }
}

/** The session that a run coated on this day (YYYY-MM-DD) is of: the only one of the day, or null. */
export function sessionOfDay(db: Database, studyId: string, day: string): string | null {
  const [only, other] = sessionsOf(db, studyId).filter((session) => session.day === day)
  return only && !other ? only.name : null
}

/** Keeps what is known of a plate visit. */
export function keepPlateVisit(db: Database, studyId: string, visit: PlateVisit): void {
  keep(db, 'plateVisit', { studyId, number: visit.number }, { studyId, ...visit })
}

/** The id under which something is recorded of a session; undefined where nothing is. */
export function sessionIdOf(db: Database, studyId: string, name: string): string | undefined {
  return db.prepare('SELECT id FROM session WHERE studyId = ? AND name = ?').pluck().get(studyId, name) as
    | string
    | undefined
}

function keep(db: Database, table: 'session' | 'plateVisit', key: Row, row: Record<string, unknown>): void {
  const where = Object.keys(key)
    .map((column) => `"${column}" = @${column}`)
    .join(' AND ')
  const id = db.prepare(`SELECT id FROM "${table}" WHERE ${where}`).pluck().get(key) as string | undefined
  if (id) updateRow(db, table, id, toRow(row))
  else insertRow(db, table, toRow({ id: newId(), ...row }))
}
