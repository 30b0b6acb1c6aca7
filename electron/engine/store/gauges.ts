import type { Database } from 'better-sqlite3'
import type {
  CheckReading,
  CheckStandard,
  GaugePlace,
  GaugeReading,
  GaugeStudy,
} from '../../../shared/contract/gauges.ts'
import { newId, now } from './ids.ts'
import { fromRow, insertRow, type Row, toRow, updateRow } from './row.ts'

const studyColumns = 'id, gaugeId, at, wafers, operators, reloads, scans, seed, toleranceNm, note'
const toStudy = (row: Row) => fromRow(row, { json: ['wafers', 'operators'] }) as GaugeStudy

/** The gauge studies of a gauge, the newest first, with the number of readings in each. */
export function gaugeStudiesOf(db: Database, gaugeId: string): (GaugeStudy & { readings: number })[] {
  const rows = db
    .prepare(
      `SELECT ${studyColumns},
         (SELECT count(*) FROM gaugeReading WHERE gaugeStudyId = gaugeStudy.id AND withdrawn = 0) AS readings
       FROM gaugeStudy WHERE gaugeId = ? AND removed = 0 ORDER BY id DESC`,
    )
    .all(gaugeId) as Row[]
  return rows.map((row) => toStudy(row) as GaugeStudy & { readings: number })
}

/** One gauge study, or null where there is none (any more). */
export function gaugeStudyOf(db: Database, id: string): GaugeStudy | null {
  const row = db.prepare(`SELECT ${studyColumns} FROM gaugeStudy WHERE id = ? AND removed = 0`).get(id)
  return row ? toStudy(row as Row) : null
}

/** Adds a gauge study; its id. */
export function addGaugeStudy(db: Database, study: Omit<GaugeStudy, 'id' | 'at'>): string {
  const id = newId()
  insertRow(db, 'gaugeStudy', toRow({ ...study, id, at: now() }))
  return id
}

export function changeGaugeStudy(
  db: Database,
  id: string,
  change: Partial<Pick<GaugeStudy, 'toleranceNm' | 'note'>> | { removed: true },
): void {
  updateRow(db, 'gaugeStudy', id, toRow(change))
}

/** The readings of a gauge study that stand, in the order of entry. */
export function gaugeReadingsOf(db: Database, gaugeStudyId: string): GaugeReading[] {
  return db
    .prepare(
      `SELECT wafer, operator, reload, scan, value, text, unit FROM gaugeReading
       WHERE gaugeStudyId = ? AND withdrawn = 0 ORDER BY id`,
    )
    .all(gaugeStudyId) as GaugeReading[]
}

/** Takes back the reading at a place, if there is one. */
export function withdrawGaugeReading(db: Database, gaugeStudyId: string, place: GaugePlace): void {
  db.prepare(
    `UPDATE gaugeReading SET withdrawn = 1
     WHERE gaugeStudyId = @gaugeStudyId AND wafer = @wafer AND operator = @operator AND reload = @reload
       AND scan = @scan AND withdrawn = 0`,
  ).run({ gaugeStudyId, ...place })
}

export function addGaugeReading(db: Database, gaugeStudyId: string, reading: GaugeReading): void {
  insertRow(db, 'gaugeReading', { ...reading, id: newId(), gaugeStudyId, at: now() })
}

/** All check standards by name. */
export function checkStandardsOf(db: Database): CheckStandard[] {
  return db
    .prepare(
      'SELECT id, name, nominalNm, uncertaintyNm, note FROM checkStandard WHERE removed = 0 ORDER BY name, id',
    )
    .all() as CheckStandard[]
}

/** Makes the standard, or changes the one with its id; the id. */
export function keepCheckStandard(
  db: Database,
  standard: Omit<CheckStandard, 'id'> & { id?: string | undefined },
): string {
  const id = standard.id ?? newId()
  if (standard.id === undefined) insertRow(db, 'checkStandard', toRow({ ...standard, id }))
  else updateRow(db, 'checkStandard', id, toRow({ ...standard, id }))
  return id
}

/** The readings of a standard by a gauge that stand, by day and in the order of entry. */
export function checkReadingsOf(db: Database, gaugeId: string, standardId: string): CheckReading[] {
  return db
    .prepare(
      `SELECT id, day, value, text, unit FROM checkReading
       WHERE gaugeId = ? AND standardId = ? AND withdrawn = 0 ORDER BY day, id`,
    )
    .all(gaugeId, standardId) as CheckReading[]
}

export function addCheckReading(
  db: Database,
  reading: Omit<CheckReading, 'id'> & { gaugeId: string; standardId: string },
): void {
  insertRow(db, 'checkReading', { ...reading, id: newId(), at: now() })
}

export function withdrawCheckReading(db: Database, id: string): void {
  db.prepare('UPDATE checkReading SET withdrawn = 1 WHERE id = ?').run(id)
}
