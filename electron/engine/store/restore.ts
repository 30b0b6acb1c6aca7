import { existsSync, rmSync } from 'node:fs'
import type { Database } from 'better-sqlite3'
import { type Answer, good, refuse } from '../../../shared/problem.ts'
import { toDisk, writeWhole } from './backup.ts'
import { lastStep, stepsIn } from './backups.ts'
import { locked, problemOf } from './faults.ts'
import { now } from './ids.ts'
import { migrate } from './migrate.ts'
import { migrations } from './migrations/all.ts'
import { finishReplacing, replacementOf } from './replace.ts'
import { sqlite } from './sqlite.ts'
import { unfinishedName } from './unfinished.ts'

/** Who restores what, as the history tells it. */
export type Restoring = { backup: string; who: string; label: string }

/**
 * Puts a backup in the place of a database that can be read, through the library, so that another process that has it
 * open sees it change as by any other write. What another process has written since the database was saved is not
 * taken away: the call is refused.
 *
 * @param by.saved the backup that holds what the database holds
 * @param by.busyTimeout how long to wait for another program that writes, ms
 */
export async function restoreInto(
  file: string,
  restoring: Restoring,
  by: { saved: string; busyTimeout: number },
): Promise<Answer<true>> {
  const ready = unfinishedName(`${file}.restoring`)
  try {
    writeWhole(ready, (unfinished) => copyOf(restoring, unfinished, lastNumbers(file)))
    const steps = stepsIn(by.saved)
    const until = Date.now() + by.busyTimeout
    while (!(await copyInto(file, ready, steps))) {
      if (Date.now() > until) return { ok: false, problems: [locked(file)] }
      await new Promise((later) => setTimeout(later, 50))
    }
    // The library's own connection does not wait for the disk.
    if (existsSync(`${file}-wal`)) toDisk(`${file}-wal`)
    return good(true)
  } catch (error) {
    if (error === writtenMeanwhile)
      return refuse(
        'writtenMeanwhile',
        `Another program has written to ‘${file}’ just now. Nothing was put back, so that this is not lost. Try again.`,
      )
    const problem = problemOf(error, file)
    if (!problem) throw error
    return { ok: false, problems: [problem] }
  } finally {
    rmSync(ready, { force: true })
  }
}

const writtenMeanwhile = new Error('Another process has written.')

/** Copies a database over another; false where another program holds that, which the library does not tell. */
async function copyInto(file: string, ready: string, steps: number | null): Promise<boolean> {
  const source = new (sqlite())(ready, { readonly: true, fileMustExist: true })
  try {
    await source.backup(file, {
      progress({ totalPages, remainingPages }) {
        // Before the first page: from here on nobody else can write.
        if (remainingPages === totalPages && stepsIn(file) !== steps) throw writtenMeanwhile
        return 100
      },
    })
    return stepsIn(file) === lastStep(source)
  } finally {
    source.close()
  }
}

/**
 * Puts a backup in the place of a database that cannot be read, or is missing. What is there is kept under another
 * name, with its log; returns that name, or null.
 */
export function restoreBeside(file: string, restoring: Restoring): string | null {
  writeWhole(replacementOf(file), (unfinished) => copyOf(restoring, unfinished, []))
  return finishReplacing(file)
}

/**
 * Puts an empty database in the place of one that cannot be read, or is missing. What is there is kept under another
 * name, with its log; returns that name, or null.
 */
export function startEmptyBeside(file: string): string | null {
  writeWhole(replacementOf(file), (unfinished) => {
    const db = new (sqlite())(unfinished)
    try {
      migrate(db, migrations)
    } finally {
      db.close()
    }
  })
  return finishReplacing(file)
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
