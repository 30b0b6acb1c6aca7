import { closeSync, existsSync, fsyncSync, openSync, renameSync, rmSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import type { Database } from 'better-sqlite3'
import { stamp } from './ids.ts'
import { sqlite } from './sqlite.ts'

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
  const unfinished = `${file}.unfinished`
  if (existsSync(unfinished)) rmSync(unfinished)
  try {
    write(unfinished)
    const verdict = verdictOn(unfinished)
    if (verdict !== 'ok') throw new Error(`The copy ${unfinished} is not whole: ${verdict}`)
    toDisk(unfinished)
    renameSync(unfinished, file)
    if (process.platform !== 'win32') toDisk(dirname(file))
  } catch (error) {
    rmSync(unfinished, { force: true })
    throw error
  }
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

function toDisk(path: string): void {
  const handle = openSync(path, 'r')
  try {
    fsyncSync(handle)
  } finally {
    closeSync(handle)
  }
}
