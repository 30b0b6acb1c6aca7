import type { Database } from 'better-sqlite3'
import type { Factor, Stage, Study, StudyInput } from '../../../shared/contract/things.ts'
import { bottleOf } from './bottles.ts'
import { newId, now } from './ids.ts'
import { fromRow, insertRow, type Row, toRow, updateRow } from './row.ts'
import { toolOf } from './tools.ts'

/** The study with its factors, stages and tools, or null where there is none of that id. */
export function studyOf(db: Database, id: string): Study | null {
  const row = db
    .prepare(`SELECT study.*, ${changedAt} AS changedAt FROM study WHERE id = ? AND removed = 0`)
    .get(id) as Row | undefined
  if (!row) return null
  const { removed: _, ...fields } = fromRow(row, {
    json: ['resistLimits', 'ownSites', 'lots', 'program', 'steps', 'practice', 'plateAtStart'],
    flags: ['simulated', 'archived'],
  }) as Study & { removed: number }
  return {
    ...fields,
    factors: factorsOf(db, id),
    stages: stagesOf(db, id),
    coater: toolOf(db, 'coater', fields.coaterId),
    hotPlate: toolOf(db, 'hotPlate', fields.hotPlateId),
    gauge: toolOf(db, 'gauge', fields.gaugeId),
    bottle: bottleOf(db, fields.bottleId),
  }
}

/** When the study last changed: the last step in it. Its place among the steps counts, not the clock. */
export const changedAt = `coalesce(
  (SELECT at FROM step WHERE step.studyId = study.id ORDER BY step.id DESC LIMIT 1), study.createdAt)`

/** Writes a new study; its id. */
export function addStudy(
  db: Database,
  input: StudyInput,
  more: Pick<Study, 'simulated' | 'practice'>,
): string {
  const id = newId()
  insertRow(db, 'study', studyRow({ id, ...input, ...more, archived: false, model: null, createdAt: now() }))
  return id
}

/** Changes the named fields of a study. */
export function changeStudy(
  db: Database,
  id: string,
  change: Partial<StudyInput & Pick<Study, 'archived' | 'model'>>,
): void {
  updateRow(db, 'study', id, studyRow(change))
}

/** Where the plate stands at the start is a number or words, so it is kept as JSON in both cases. */
function studyRow(fields: Partial<Study>): Row {
  const { plateAtStart } = fields
  return toRow({
    ...fields,
    ...(plateAtStart === undefined ? {} : { plateAtStart: JSON.stringify(plateAtStart) }),
  })
}

export function factorsOf(db: Database, studyId: string): Factor[] {
  const rows = db
    .prepare('SELECT * FROM factor WHERE studyId = ? ORDER BY position, name')
    .all(studyId) as Row[]
  return rows.map((row) => {
    const {
      id: _,
      studyId: __,
      position: ___,
      ...fields
    } = fromRow(row, {
      json: ['levelNames'],
      flags: ['hardToChange'],
    })
    return fields as Factor
  })
}

/** Adds a factor or changes the one of its name; its place among the factors is `position`. */
export function keepFactor(db: Database, studyId: string, factor: Factor, position: number): void {
  const id = db
    .prepare('SELECT id FROM factor WHERE studyId = ? AND name = ?')
    .pluck()
    .get(studyId, factor.name) as string | undefined
  if (id) updateRow(db, 'factor', id, toRow({ ...factor, position }))
  else insertRow(db, 'factor', toRow({ id: newId(), studyId, position, ...factor }))
}

export function dropFactor(db: Database, studyId: string, name: string): void {
  db.prepare('DELETE FROM factor WHERE studyId = ? AND name = ?').run(studyId, name)
}

function stagesOf(db: Database, studyId: string): Stage[] {
  const rows = db
    .prepare(
      `SELECT id, position, kind, title, design, at FROM stage
       WHERE studyId = ? AND removed = 0 ORDER BY position, id`,
    )
    .all(studyId) as Row[]
  return rows.map((row) => fromRow(row, { json: ['design'] }) as Stage)
}

/** Adds a stage after the last; its id. */
export function addStage(
  db: Database,
  studyId: string,
  stage: Pick<Stage, 'kind' | 'title' | 'design'>,
): string {
  const id = newId()
  const position = db
    .prepare('SELECT coalesce(max(position), 0) + 1 FROM stage WHERE studyId = ? AND removed = 0')
    .pluck()
    .get(studyId) as number
  insertRow(db, 'stage', toRow({ id, studyId, position, at: now(), ...stage }))
  return id
}
