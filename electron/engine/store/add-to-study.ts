import type { Database } from 'better-sqlite3'
import { putInShared, sameSubstrates } from './put-in-study.ts'
import { insertRow, keyOf, type Row, updateRow } from './row.ts'
import { ownParts } from './study-parts.ts'
import { type StudyRows, withIds } from './study-rows.ts'

/** What adding a study's file to the study here has come to. */
export type Added = {
  runs: number
  readings: number
  /** Codes of runs that were planned here and have been coated or read there. */
  takenOver: string[]
  /** Codes of runs that differ there and were left as they are here. */
  left: string[]
  /** Runs whose code was taken here by another run. */
  renamed: { from: string; to: string }[]
  /** Readings at a place that had been read here too: they stand beside as repeats. */
  repeats: number
}

/** What a run says of how it was made, once it has left the plan. */
const asMade = [
  'state',
  'session',
  'note',
  'actual',
  'steps',
  'stepsDone',
  'coatedAt',
  'substrateId',
  'defect',
  'excluded',
  'plateVisit',
  'lot',
]

/**
 * Adds to a study what is new in a file of the same study: runs, readings and what hangs on them. Nothing that is
 * here is changed, but that a run which is only planned here takes over how it was made there.
 */
export function addToStudy(db: Database, file: StudyRows): Added {
  db.pragma('defer_foreign_keys = ON')
  const added: Added = { runs: 0, readings: 0, takenOver: [], left: [], renamed: [], repeats: 0 }
  const study = withOwnPlaces(db, withIds(file, sameSubstrates(db, file)), added)
  putInShared(db, study)
  for (const { table } of ownParts) {
    const key = keyOf(db, table)
    const known = db.prepare(`SELECT * FROM "${table}" WHERE "${key}" = ?`)
    const fresh = (study.tables[table] ?? []).filter((row) => {
      const here = known.get(row[key]) as Row | undefined
      if (here && table === 'run') takeOver(db, here, row, added)
      return !here && fits(db, table, row)
    })
    for (const row of table === 'reading' ? asRepeats(db, fresh, added) : fresh) insertRow(db, table, row)
    if (table === 'run') added.runs = fresh.filter(({ removed }) => removed === 0).length
    if (table === 'reading') added.readings = fresh.filter(({ withdrawn }) => withdrawn === 0).length
  }
  return added
}

/** A run that is here: planned here and made there, it takes over how it was made. */
function takeOver(db: Database, here: Row, there: Row, added: Added): void {
  const differs = asMade.filter((name) => here[name] !== there[name])
  if (differs.length === 0 || there.state === 'planned') return
  if (here.state !== 'planned') {
    added.left.push(here.code as string)
    return
  }
  updateRow(
    db,
    'run',
    here.id as string,
    Object.fromEntries(asMade.map((name) => [name, there[name] ?? null])),
  )
  added.takenOver.push(here.code as string)
}

/** Whether a row has a place that is still free; a factor or an exclusion that is here stays as it is here. */
function fits(db: Database, table: string, row: Row): boolean {
  if (table === 'factor')
    return !db.prepare('SELECT 1 FROM factor WHERE studyId = ? AND name = ?').get(row.studyId, row.name)
  if (table === 'exclusion')
    return !db.prepare('SELECT 1 FROM exclusion WHERE readingId = ?').get(row.readingId)
  return true
}

/**
 * The rows with names and numbers that are free here: runs with a code that another run has here, sessions of one
 * name, plate visits of one number, versions of a recipe, and the places of stages and runs behind those here.
 */
function withOwnPlaces(db: Database, study: StudyRows, added: Added): StudyRows {
  const { studyId } = study
  const rows = (table: string) => study.tables[table] ?? []
  const here = (table: string) =>
    new Set(db.prepare(`SELECT id FROM "${table}" WHERE studyId = ?`).pluck().all(studyId))
  const taken = (table: string, column: string) =>
    new Set(db.prepare(`SELECT "${column}" FROM "${table}" WHERE studyId = ?`).pluck().all(studyId))
  const known = {
    session: here('session'),
    run: here('run'),
    plateVisit: here('plateVisit'),
    stage: here('stage'),
    recipe: here('recipe'),
  }

  const sessions = new Map<string, string>()
  const names = taken('session', 'name') as Set<string>
  for (const row of rows('session').filter(({ id }) => !known.session.has(id)))
    if (names.has(row.name as string)) {
      const free = freeName(row.name as string, names)
      sessions.set(row.name as string, free)
      row.name = free
    }
  const visits = new Map<number, number>()
  let lastVisit = Math.max(0, ...(taken('plateVisit', 'number') as Set<number>))
  for (const row of rows('plateVisit').filter(({ id }) => !known.plateVisit.has(id)))
    if ((taken('plateVisit', 'number') as Set<number>).has(row.number as number)) {
      lastVisit += 1
      visits.set(row.number as number, lastVisit)
      row.number = lastVisit
    }
  const codes = new Set([...taken('run', 'code')].map((code) => String(code)))
  let order = Math.max(0, ...(taken('run', 'runOrder') as Set<number>))
  for (const row of rows('run')
    .filter(({ id }) => !known.run.has(id))
    .sort(byOrder)) {
    order += 1
    row.runOrder = order
    if (codes.has(row.code as string)) {
      const to = freeName(row.code as string, codes)
      added.renamed.push({ from: row.code as string, to })
      row.code = to
    }
    codes.add(row.code as string)
    row.session = sessions.get(row.session as string) ?? (row.session as string | null)
    row.plateVisit = visits.get(row.plateVisit as number) ?? (row.plateVisit as number | null)
  }
  let position = Math.max(0, ...(taken('stage', 'position') as Set<number>))
  for (const row of rows('stage').filter(({ id }) => !known.stage.has(id))) {
    position += 1
    row.position = position
  }
  freeVersions(
    db,
    rows('recipe').filter(({ id }) => !known.recipe.has(id)),
  )
  return study
}

const byOrder = (a: Row, b: Row) => (a.runOrder as number) - (b.runOrder as number)

/** `W03 b` where `W03` is taken, or the next letter. */
function freeName(name: string, taken: Set<string>): string {
  for (let i = 1; ; i++) {
    const free = `${name} ${i < 26 ? String.fromCharCode(97 + i) : i}`
    if (!taken.has(free)) {
      taken.add(free)
      return free
    }
  }
}

/** New versions of a recipe stand behind the newest here of its name. */
function freeVersions(db: Database, recipes: Row[]): void {
  const newest = db.prepare(
    'SELECT id, version FROM recipe WHERE studyId = ? AND name = ? AND removed = 0 ORDER BY version DESC LIMIT 1',
  )
  const last = new Map<string, { id: string; version: number }>()
  for (const row of recipes.sort((a, b) => (a.version as number) - (b.version as number))) {
    if (row.removed === 1) continue
    const name = row.name as string
    const before =
      last.get(name) ?? (newest.get(row.studyId, name) as { id: string; version: number } | undefined)
    if (before) {
      row.version = before.version + 1
      row.supersedes = before.id
    }
    last.set(name, { id: row.id as string, version: row.version as number })
  }
}

/**
 * Readings that were taken at a place that has one in force here too, or correct what has been corrected here
 * otherwise, stand beside it as the next repeat: both were measured.
 */
function asRepeats(db: Database, readings: Row[], added: Added): Row[] {
  const fresh = new Map(readings.map((row) => [row.id, row]))
  const corrected = db.prepare('SELECT 1 FROM standing WHERE supersedes = ?')
  const most = db
    .prepare(
      `SELECT max(repeat) FROM inForce WHERE runId = @runId AND quantity = @quantity AND site IS @site
       AND xMm IS @xMm AND yMm IS @yMm AND takenAfter IS @takenAfter`,
    )
    .pluck()
  const place = ({ runId, quantity, site, xMm, yMm, takenAfter }: Row) => ({
    runId,
    quantity,
    site,
    xMm,
    yMm,
    takenAfter,
  })
  const last = new Map<string, number>()
  const movedTo = new Map<string, number>()
  for (const row of readings.sort((a, b) => ((a.id as string) < (b.id as string) ? -1 : 1))) {
    const earlier = movedTo.get(row.supersedes as string)
    if (earlier !== undefined) {
      row.repeat = earlier
      movedTo.set(row.id as string, earlier)
      continue
    }
    const correctsHere = row.supersedes !== null && !fresh.has(row.supersedes)
    if (correctsHere && !corrected.get(row.supersedes)) continue
    const key = JSON.stringify(place(row))
    const here = last.get(key) ?? (most.get(place(row)) as number | null)
    if (row.withdrawn === 1 || here === null || (!correctsHere && (row.repeat as number) > here)) continue
    if (correctsHere) row.supersedes = null
    row.repeat = here + 1
    last.set(key, here + 1)
    movedTo.set(row.id as string, here + 1)
    added.repeats += 1
  }
  return readings
}
