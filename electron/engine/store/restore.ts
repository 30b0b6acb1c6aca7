import { existsSync, renameSync, rmSync } from 'node:fs'
import type { Database } from 'better-sqlite3'
import { type Answer, good } from '../../../shared/problem.ts'
import { writeWhole } from './backup.ts'
import { problemOf } from './faults.ts'
import { now, stamp } from './ids.ts'
import { sqlite } from './sqlite.ts'

/** Who restores what, as the history tells it. */
export type Restoring = { backup: string; who: string; label: string }

/**
 * Puts a backup in the place of a database that can be read, through the library, so that another process that has it
 * open sees it change as by any other write.
 */
export async function restoreInto(file: string, restoring: Restoring): Promise<Answer<true>> {
  const ready = `${file}.restoring`
  try {
    writeWhole(ready, (unfinished) => copyOf(restoring, unfinished, lastNumbers(file)))
    const source = new (sqlite())(ready, { readonly: true, fileMustExist: true })
    try {
      await source.backup(file)
    } finally {
      source.close()
    }
    return good(true)
  } catch (error) {
    const problem = problemOf(error, file)
    if (!problem) throw error
    return { ok: false, problems: [problem] }
  } finally {
    rmSync(ready, { force: true })
  }
}

/**
 * Puts a backup in the place of a database that cannot be read. What is there is kept under another name, with its
 * log; returns that name.
 */
export function restoreBeside(file: string, restoring: Restoring): string {
  const kept = `${file}.damaged.${stamp()}`
  // The log first: the database must never meet the log of another.
  for (const part of ['-wal', '-shm', ''])
    if (existsSync(file + part)) renameSync(file + part, `${kept}${part}`)
  writeWhole(file, (unfinished) => copyOf(restoring, unfinished, []))
  return kept
}

type LastNumber = { name: string; seq: number }

/** The last numbers of steps and changes that the database has given out. */
function lastNumbers(file: string): LastNumber[] {
  const db = new (sqlite())(file, { readonly: true, fileMustExist: true })
  try {
    return db.prepare('SELECT name, seq FROM sqlite_sequence').all() as LastNumber[]
  } finally {
    db.close()
  }
}

/**
 * A copy of the backup that says in its history that it was put back. No number that was given out since the backup is
 * given out again: another process may remember what stood under it.
 */
function copyOf({ backup, who, label }: Restoring, copy: string, given: LastNumber[]): void {
  const source = new (sqlite())(backup, { readonly: true, fileMustExist: true })
  try {
    source.prepare('VACUUM INTO ?').run(copy)
  } finally {
    source.close()
  }
  const db = new (sqlite())(copy, { fileMustExist: true })
  try {
    db.transaction(() => note(db, { who, label }, given))()
  } finally {
    db.close()
  }
}

function note(db: Database, { who, label }: Omit<Restoring, 'backup'>, given: LastNumber[]): void {
  for (const last of given)
    db.prepare('UPDATE sqlite_sequence SET seq = max(seq, @seq) WHERE name = @name').run(last)
  const { lastInsertRowid } = db
    .prepare(`INSERT INTO step (at, who, call, label, kind) VALUES (?, ?, 'backups.restore', ?, 'do')`)
    .run(now(), who, label)
  db.prepare(`INSERT INTO change (step, tableName, rowId) VALUES (?, 'database', '')`).run(lastInsertRowid)
}
