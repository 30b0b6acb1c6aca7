import type { Database } from 'better-sqlite3'
import { readingTables } from '../../../shared/history/look.ts'
import { insertRow, type Row, updateRow } from './row.ts'

/**
 * Tables whose rows are taken away by a mark instead of being deleted, and the column of that mark. All
 * other recorded tables lose the row.
 */
export const marks: Record<string, string> = {
  coater: 'removed',
  hotPlate: 'removed',
  gauge: 'removed',
  gaugeStudy: 'removed',
  gaugeReading: 'withdrawn',
  checkStandard: 'removed',
  checkReading: 'withdrawn',
  bottle: 'removed',
  substrate: 'removed',
  study: 'removed',
  stage: 'removed',
  recipe: 'removed',
  run: 'removed',
  reading: 'withdrawn',
  import: 'withdrawn',
  trace: 'withdrawn',
  lotDecision: 'withdrawn',
}

/** Tables that keep the record themselves, or whose rows hang on recorded ones or follow from them. */
const unrecorded = new Set([
  'step',
  'writing',
  'change',
  'answered',
  'importing',
  'importText',
  'tracePoints',
  'runSummary',
])

/**
 * Makes the triggers that record every change of every table: the row before and after as JSON, as far as it can change,
 * under the step in progress. A write outside a step has no step to stand under and is refused by the NOT NULL of
 * `change.step`. Rows that carry an import id are skipped: the import is the record. So are rows that are added, or
 * deleted, with the mark of what has been taken away: nobody has seen them.
 */
export function recordChanges(db: Database): void {
  for (const table of recordedTables(db)) {
    const columns = columnsOf(db, table)
    const mark = marks[table]
    const recorded = readingTables.includes(table) ? ['id', mark] : columns
    const row = (name: string) => `json_object(${recorded.map((c) => `'${c}', ${name}."${c}"`).join(', ')})`
    const own = (name: string) =>
      columns.includes('importId') ? `${name}.importId IS NULL` : mark ? `${name}."${mark}" = 0` : '1'
    const differs = columns.map((c) => `OLD."${c}" IS NOT NEW."${c}"`).join(' OR ')
    const cases = [
      { event: 'INSERT', when: own('NEW'), id: 'NEW.id', before: 'NULL', after: row('NEW') },
      { event: 'UPDATE', when: `(${differs})`, id: 'OLD.id', before: row('OLD'), after: row('NEW') },
      { event: 'DELETE', when: own('OLD'), id: 'OLD.id', before: row('OLD'), after: 'NULL' },
    ]
    for (const { event, when, id, before, after } of cases)
      db.exec(`
        DROP TRIGGER IF EXISTS "record ${event} ${table}";
        CREATE TRIGGER "record ${event} ${table}" AFTER ${event} ON "${table}" WHEN ${when} BEGIN
          INSERT INTO change (step, tableName, rowId, before, after)
          VALUES ((SELECT step FROM writing), '${table}', ${id}, ${before}, ${after});
        END`)
  }
}

/** The names of the triggers that record. */
export function recordedBy(db: Database): string[] {
  return db
    .prepare(`SELECT name FROM sqlite_schema WHERE type = 'trigger' AND name LIKE 'record %'`)
    .pluck()
    .all() as string[]
}

/** Takes the triggers away that record. */
export function stopRecording(db: Database): void {
  for (const name of recordedBy(db)) db.exec(`DROP TRIGGER "${name}"`)
}

/** Takes a step back (its changes in reverse) or makes it again (its changes in order). */
export function replay(db: Database, step: number, direction: 'back' | 'forward'): void {
  const order = direction === 'back' ? 'DESC' : 'ASC'
  const changes = db
    .prepare(`SELECT tableName, rowId, before, after FROM change WHERE step = ? ORDER BY id ${order}`)
    .all(step) as { tableName: string; rowId: string; before: string | null; after: string | null }[]
  for (const { tableName, rowId, before, after } of changes) {
    const [from, to] = direction === 'back' ? [after, before] : [before, after]
    if (to === null) takeAway(db, tableName, rowId)
    else if (from === null) bringBack(db, tableName, rowId, to)
    else change(db, tableName, from, to)
  }
}

function takeAway(db: Database, table: string, id: string): void {
  const mark = marks[table]
  if (mark) db.prepare(`UPDATE "${table}" SET "${mark}" = 1 WHERE id = ?`).run(id)
  else db.prepare(`DELETE FROM "${table}" WHERE id = ?`).run(id)
}

/**
 * A row that was only marked as taken away keeps what others have changed in it since. A reading that came in with a
 * study was withdrawn there, it may be, and stays so.
 */
function bringBack(db: Database, table: string, id: string, json: string): void {
  const mark = marks[table]
  const row = JSON.parse(json) as Row
  if (mark) db.prepare(`UPDATE "${table}" SET "${mark}" = ? WHERE id = ?`).run(row[mark] ?? 0, id)
  else insertRow(db, table, row)
}

/** Writes only what the step changed: a raw reading may be marked and nothing else of it touched. */
function change(db: Database, table: string, from: string, to: string): void {
  const before = JSON.parse(from) as Row
  const { id, ...after } = JSON.parse(to) as Row & { id: string }
  const changed = Object.entries(after).filter(([name, value]) => value !== before[name])
  updateRow(db, table, id, Object.fromEntries(changed))
}

function recordedTables(db: Database): string[] {
  const names = db
    .prepare(`SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite!_%' ESCAPE '!'`)
    .pluck()
    .all() as string[]
  return names.filter((name) => !unrecorded.has(name))
}

export function columnsOf(db: Database, table: string): string[] {
  return db.prepare('SELECT name FROM pragma_table_info(?)').pluck().all(table) as string[]
}
