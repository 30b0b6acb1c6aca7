import { existsSync, statSync } from 'node:fs'
import { dirname, resolve } from 'node:path'
import Sqlite, { type Database } from 'better-sqlite3'
import { type Answer, good, type Problem, refuse } from '../../../shared/problem.ts'
import { backUp } from './backup.ts'
import { damaged, missing, otherSchema } from './damage.ts'
import { withFaults } from './faults.ts'
import { riseAbove } from './ids.ts'
import { takeAwayAbandoned } from './importing.ts'
import { fileUnder } from './in-place.ts'
import { applicationId, migrate } from './migrate.ts'
import { migrations as ours } from './migrations/all.ts'
import { placeWarnings } from './place.ts'
import { damageOf, type Reading } from './read-through.ts'
import { finishReplacing } from './replace.ts'
import { hasOurSchema } from './schema.ts'
import { takeAwayUnfinished } from './unfinished.ts'

/** An open database and what its user should know about where it lies. */
export type Store = {
  db: Database
  file: string
  version: number
  warnings: Problem[]
  /** Which file, and which log, stood under the names when it was opened. */
  identity: string
  log: string
  /** How it is still to be read through while it is open; null where that was done before. */
  unread: Reading | null
}

export type OpenOptions = {
  /** How long a write waits for another process, ms. */
  busyTimeout?: number
  /** All migrations in order; those of this version where none are given. */
  migrations?: readonly string[]
  /** Up to this size a file is read through before it is open, bytes. */
  readAtOnce?: number
}

export const usualBusyTimeout = 5000

/**
 * To read a file through takes some 10 ms a megabyte, and ten years of a lab are some hundred: beyond this size nobody is
 * kept waiting for it, and it is done while the database is open.
 */
const usuallyReadAtOnce = 16 * 2 ** 20

/**
 * Opens a database, or makes it where there is no file yet. What is no database, belongs to another program, was
 * written by a newer version, is damaged, locked or cannot be written is refused and left as it is.
 */
export function openStore(databaseFile: string, options: OpenOptions = {}): Answer<Store> {
  const file = resolve(databaseFile)
  return withFaults(file, () => {
    if (!statSync(dirname(file), { throwIfNoEntry: false })?.isDirectory())
      return refuse(
        'cannotOpen',
        `‘${file}’ cannot be opened: ‘${dirname(file)}’ is no folder. Make it first.`,
      )
    finishReplacing(file)
    const isNew = !existsSync(file) || statSync(file).size === 0
    const lost = isNew ? missing(file) : null
    if (lost) return { ok: false, problems: [lost] }
    const leftOpen = !isNew && existsSync(`${file}-wal`) && statSync(`${file}-wal`).size > 0
    const db = new Sqlite(file, { fileMustExist: !isNew, timeout: options.busyTimeout ?? usualBusyTimeout })
    try {
      const answer = prepare(db, file, {
        isNew,
        how: leftOpen ? 'thorough' : 'quick',
        atOnce: statSync(file).size <= (options.readAtOnce ?? usuallyReadAtOnce),
        migrations: options.migrations ?? ours,
      })
      if (!answer.ok) db.close()
      return answer
    } catch (error) {
      db.close()
      throw error
    }
  })
}

type Found = { isNew: boolean; how: Reading; atOnce: boolean; migrations: readonly string[] }

function prepare(db: Database, file: string, found: Found): Answer<Store> {
  const id = db.pragma('application_id', { simple: true }) as number
  const version = db.pragma('user_version', { simple: true }) as number
  const empty = found.isNew || db.prepare('SELECT count(*) FROM sqlite_schema').pluck().get() === 0
  if (id !== applicationId && !(empty && id === 0 && version === 0))
    return refuse(
      'wrongApplication',
      `‘${file}’ is a database of another program. It was left as it is. Choose another file.`,
    )
  if (version > found.migrations.length)
    return refuse(
      'newerVersion',
      `‘${file}’ was written by a newer Evenfilm (database version ${version}; this program knows up to ` +
        `${found.migrations.length}). It was left as it is. Open it with the newer program.`,
    )
  if (!empty && !hasOurSchema(db, 'database', found.migrations))
    return { ok: false, problems: [damaged(file, otherSchema)] }
  // Before anything is written: what is refused is left as it is.
  const damage = id === applicationId && found.atOnce ? damageOf(db, found.how) : null
  if (damage) return { ok: false, problems: [damaged(file, damage)] }
  db.pragma('journal_mode = WAL')
  // The library's build turns FULL into NORMAL at the first transaction unless it is set in so many words.
  db.pragma('synchronous = FULL')
  db.pragma('foreign_keys = ON')
  const newest = found.migrations.length
  if (version > 0 && version < newest) backUp(db, `before-version-${newest}`)
  migrate(db, found.migrations)
  takeAwayAbandoned(db)
  takeAwayUnfinished(file)
  riseAbove(db)
  return good({
    db,
    file,
    version: db.pragma('user_version', { simple: true }) as number,
    warnings: placeWarnings(file),
    identity: fileUnder(file),
    log: fileUnder(`${file}-wal`),
    unread: found.atOnce ? null : found.how,
  })
}
