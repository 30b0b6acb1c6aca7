import { deserialize } from 'node:v8'
import type { Database } from 'better-sqlite3'
import type { Factor, ReadingStage, Run, Stage } from '../../../shared/contract/things.ts'
import type { Tell } from '../../../shared/progress.ts'
import { addImportedReadings } from './imports.ts'
import { insertRow, toRow } from './row.ts'
import { changeRun } from './runs.ts'
import { sqlite } from './sqlite.ts'
import { isAlive } from './unfinished.ts'

/**
 * A reading as its row holds it: id, run, import, quantity, site, x, y, value, text, unit, time, supersedes,
 * repeat, stage, optical index.
 */
export type ImportedReading = [
  string,
  string,
  string,
  string,
  number | null,
  number | null,
  number | null,
  number,
  string,
  string,
  string,
  string | null,
  number,
  ReadingStage | null,
  number | null,
]

/** All that an import does to a database, worked out beforehand. */
export type ImportWork = {
  studyId: string
  at: string
  /** Last change of the database that was seen when this was worked out. */
  seen: number
  /** One a file, with its deflated text. */
  imports: {
    id: string
    fileName: string
    sha256: string
    runs: number
    readings: number
    text: Uint8Array
  }[]
  factors: { factor: Factor; position: number }[]
  /** All lots of the study, where the files name new ones; else null. */
  lots: string[] | null
  stages: Pick<Stage, 'id' | 'title'>[]
  newRuns: Run[]
  changedRuns: { id: string; change: Partial<Run> }[]
  /** Lists of imported readings, each as one piece of bytes (node:v8). */
  pieces: Uint8Array[]
  exclusions: { readingId: string; reason: string }[]
  runs: number
  readings: number
}

/** Runs that are added in one piece. */
const runsAtOnce = 300
/** Readings that are deleted in one piece. */
const deletedAtOnce = 1000

/** Imports that this process works on. */
const underWay = new Set<string>()

/** Puts what an import brings into the database, a piece at a time, and seen by nobody. */
export function* bringIn(db: Database, work: ImportWork): Iterable<Parameters<Tell>> {
  const { studyId, at, imports, stages, newRuns } = work
  const step = (piece: () => void) => db.transaction(piece).immediate()
  for (const { id } of imports) underWay.add(id)
  step(() => {
    const made = [newRuns.map(({ id }) => id), stages.map(({ id }) => id)].map((ids) => JSON.stringify(ids))
    imports.forEach(({ text: _, ...row }, i) => {
      insertRow(db, 'import', { ...row, studyId, at, withdrawn: 1 })
      const [runs = '[]', stages = '[]'] = i === 0 ? made : []
      insertRow(db, 'importing', { importId: row.id, process: process.pid, runs, stages })
    })
    const last = db
      .prepare('SELECT coalesce(max(position), 0) FROM stage WHERE studyId = ? AND removed = 0')
      .pluck()
      .get(studyId) as number
    for (const [i, stage] of stages.entries()) {
      const place = { studyId, position: last + 1 + i, kind: 'imported', design: null, at, removed: 1 }
      insertRow(db, 'stage', { ...stage, ...place })
    }
  })
  for (let i = 0; i < newRuns.length; i += runsAtOnce) {
    const some = newRuns.slice(i, i + runsAtOnce)
    step(() => {
      for (const { substrate: _, ...run } of some) insertRow(db, 'run', { ...toRow(run), removed: 1 })
    })
    yield ['runs kept', i + some.length, newRuns.length]
  }
  let kept = 0
  for (const piece of work.pieces) {
    const readings = deserialize(piece) as ImportedReading[]
    step(() => addImportedReadings(db, readings))
    kept += readings.length
    yield ['readings kept', kept, work.readings]
  }
}

/** Takes away what an import that is not whole has brought, a piece at a time. */
export function* takeAway(db: Database, importIds: readonly string[]): Iterable<void> {
  const some = db.prepare(
    `DELETE FROM reading WHERE rowid IN (SELECT rowid FROM reading WHERE importId = ? LIMIT ${deletedAtOnce})`,
  )
  for (const id of importIds) {
    const begun = db.prepare('SELECT runs, stages FROM importing WHERE importId = ?').get(id) as
      | { runs: string; stages: string }
      | undefined
    if (!begun) continue
    while (some.run(id).changes > 0) yield
  }
  db.transaction(() => {
    const made = `(SELECT value FROM importing, json_each(importing.%) WHERE importId = ?)`
    for (const id of importIds) {
      db.prepare(`DELETE FROM run WHERE id IN ${made.replace('%', 'runs')} AND removed = 1`).run(id)
      db.prepare(`DELETE FROM stage WHERE id IN ${made.replace('%', 'stages')} AND removed = 1`).run(id)
    }
    for (const id of importIds) {
      const { changes } = db.prepare('DELETE FROM importing WHERE importId = ?').run(id)
      if (changes > 0) db.prepare('DELETE FROM import WHERE id = ?').run(id)
    }
  }).immediate()
  for (const id of importIds) underWay.delete(id)
}

/** Makes what an import has brought visible, within the step in progress. */
export function makeWhole(db: Database, { imports, newRuns }: ImportWork): void {
  for (const { id, text } of imports) {
    db.prepare(
      'UPDATE stage SET removed = 0 WHERE id IN (SELECT value FROM importing, json_each(stages) WHERE importId = ?)',
    ).run(id)
    db.prepare(
      'UPDATE run SET removed = 0 WHERE id IN (SELECT value FROM importing, json_each(runs) WHERE importId = ?)',
    ).run(id)
    db.prepare('UPDATE import SET withdrawn = 0 WHERE id = ?').run(id)
    db.prepare('INSERT INTO importText (importId, text) VALUES (?, ?)').run(id, text)
    db.prepare('DELETE FROM importing WHERE importId = ?').run(id)
  }
  for (const { id, substrate } of newRuns) if (substrate !== null) changeRun(db, id, { substrate })
}

/**
 * Takes away what imports have left that were killed: those whose process is no more, or is this one and forgot. What a
 * database says of an import that is whole, or that something else hangs on, is none of ours and is left.
 */
export function takeAwayAbandoned(db: Database): void {
  const found = db
    .prepare(
      `SELECT importId, process FROM importing CROSS JOIN import ON import.id = importId
       WHERE withdrawn = 1 AND NOT EXISTS (SELECT 1 FROM importText WHERE importText.importId = import.id)`,
    )
    .all() as { importId: string; process: number }[]
  const left = found.filter(({ importId, process: pid }) =>
    pid === process.pid ? !underWay.has(importId) : !isAlive(pid),
  )
  if (left.length === 0) return
  // Imports of several files hang together.
  const importIds = left.map(({ importId }) => importId)
  try {
    for (const _ of takeAway(db, importIds));
  } catch (error) {
    if (!(error instanceof sqlite().SqliteError && /^SQLITE_(CONSTRAINT|ERROR)/.test(error.code))) throw error
  }
}
