import { closeSync, fsyncSync, openSync, renameSync, rmSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import type { Database } from 'better-sqlite3'
import { stamp } from './ids.ts'
import { sqlite } from './sqlite.ts'
import { unfinishedName } from './unfinished.ts'

/**
 * Writes a whole copy of an open database beside it and returns its path. Copying the file would lose what
 * still stands in the write-ahead log. The copy gets its name only once it has been checked and has reached the
 * disk, so that a backup that can be seen is a good one.
 *
 * @param occasion what the copy was made before or for, such as `before-version-2`; part of its name
 */
export function backUp(db: Database, occasion: string): string {
  const copy = backupPath(db.name, occasion)
  writeWhole(copy, (unfinished) => db.prepare('VACUUM INTO ?').run(unfinished))
  return copy
}

/** Where a backup made now would stand. */
function backupPath(file: string, occasion: string): string {
  return join(dirname(file), `${basename(file)}.${occasion}.${stamp()}.backup`)
}

/**
 * Writes a database under another name first, and gives it its own only once it has been read through and has
 * reached the disk.
 */
export function writeWhole(file: string, write: (unfinished: string) => void): void {
  const unfinished = unfinishedName(file)
  rmSync(unfinished, { force: true })
  try {
    write(unfinished)
    const verdict = verdictOn(unfinished)
    if (verdict !== 'ok') throw new Error(`The copy ${unfinished} is not whole: ${verdict}`)
    toDisk(unfinished)
    renameOnDisk(unfinished, file)
  } catch (error) {
    rmSync(unfinished, { force: true })
    throw error
  }
}

/** Gives a file another name, so that it is still so after the power has failed. */
export function renameOnDisk(from: string, to: string): void {
  renameSync(from, to)
  if (process.platform !== 'win32') toDisk(dirname(to))
}

/** What SQLite says of every page of a file: `ok`, or the first thing that is wrong. */
function verdictOn(file: string): string {
  const db = new (sqlite())(file, { readonly: true, fileMustExist: true })
  try {
    return db.pragma('integrity_check(1)', { simple: true }) as string
  } finally {
    db.close()
  }
}

/** Waits until what was written to a file, or what was renamed in a folder, has reached the disk. */
export function toDisk(path: string): void {
  const handle = openSync(path, 'r')
  try {
    fsyncSync(handle)
  } finally {
    closeSync(handle)
  }
}
