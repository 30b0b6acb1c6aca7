import type { Database } from 'better-sqlite3'
import { historyToKeep } from './history-of-file.ts'
import { insertRow, type Row } from './row.ts'
import { moveStepBehind } from './step.ts'
import { ownParts, sharedParts } from './study-parts.ts'
import { freshIds, type StudyRows, withIds } from './study-rows.ts'

/** Whether the study is here, or was and has been taken away. */
export function studyIsHere(db: Database, studyId: string): boolean {
  return db.prepare('SELECT 1 FROM study WHERE id = ?').get(studyId) !== undefined
}

/**
 * Puts a whole study with its history into a database that does not hold it. Tools that are here already stay as they
 * are here.
 *
 * @returns whether it was: a history that is none of its own is refused
 */
export function putInStudy(db: Database, study: StudyRows): boolean {
  db.pragma('defer_foreign_keys = ON')
  const fitted = withIds(study, sameSubstrates(db, study))
  const history = historyToKeep(db, fitted)
  if (!history) return false
  putInHistory(db, history)
  putInShared(db, fitted)
  const known = db.prepare('SELECT 1 FROM event WHERE id = ?')
  // What befell a bottle may have come with another study.
  for (const { table } of ownParts)
    for (const row of fitted.tables[table] ?? [])
      if (table !== 'event' || !known.get(row.id)) insertRow(db, table, row)
  return true
}

/**
 * Puts a study in beside the one that is here, under identifiers of its own and another name.
 *
 * @returns its new identifier, or null where its history is none of its own
 */
export function putInCopy(db: Database, study: StudyRows, name: string): string | null {
  const ids = freshIds(
    study,
    ownParts.map(({ table }) => table),
  )
  const copy = withIds(study, ids)
  for (const row of copy.tables.study ?? []) row.name = name
  return putInStudy(db, copy) ? copy.studyId : null
}

/** Substrates whose engraved code is known here under another identifier, with that. */
export function sameSubstrates(db: Database, study: StudyRows): Map<string, string> {
  const here = db.prepare('SELECT id FROM substrate WHERE code = ?').pluck()
  const pairs = (study.tables.substrate ?? []).flatMap(({ id, code }) => {
    const known = here.get(code) as string | undefined
    return known === undefined || known === id ? [] : [[id as string, known] as const]
  })
  return new Map(pairs)
}

/** Adds the tools, bottles and substrates that are not here yet. */
export function putInShared(db: Database, study: StudyRows): void {
  for (const { table } of sharedParts) {
    const known = db.prepare(`SELECT 1 FROM "${table}" WHERE id = ?`)
    for (const row of study.tables[table] ?? []) if (!known.get(row.id)) insertRow(db, table, row)
  }
}

/** The steps get the next numbers of this database, in their order; the step in progress stands behind them. */
function putInHistory(db: Database, { steps, changes }: Pick<StudyRows, 'steps' | 'changes'>): void {
  const numbers = new Map<number, number>()
  const shifted = (row: Row, name: string) => numbers.get(row[name] as number) ?? null
  for (const { id, target, ...row } of steps) {
    insertRow(db, 'step', { ...row, target: null })
    numbers.set(id as number, db.prepare('SELECT last_insert_rowid()').pluck().get() as number)
  }
  for (const step of steps)
    if (step.target !== null)
      db.prepare('UPDATE step SET target = ? WHERE id = ?').run(shifted(step, 'target'), shifted(step, 'id'))
  for (const { id: _, step, ...row } of changes)
    insertRow(db, 'change', { ...row, step: numbers.get(step as number) as number })
  if (steps.length > 0) moveStepBehind(db)
}
