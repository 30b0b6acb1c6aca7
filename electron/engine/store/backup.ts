import { closeSync, existsSync, fsyncSync, openSync, renameSync, rmSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import Sqlite, { type Database } from 'better-sqlite3'

/**
 * Writes a whole copy of an open database beside it and returns its path. Copying the file would lose what
 * still stands in the write-ahead log. The copy gets its name only once it has been checked and has reached the
 * disk, so that a backup that can be seen is a good one.
 *
 * @param occasion what the copy was made before, such as `before-version-2`; part of its name
 */
export function backUp(db: Database, occasion: string): string {
  const folder = dirname(db.name)
  const stamp = new Date().toISOString().replace(/[:.]/g, '-')
  const copy = join(folder, `${basename(db.name)}.${occasion}.${stamp}.backup`)
  const unfinished = `${copy}.unfinished`
  if (existsSync(unfinished)) rmSync(unfinished)
  try {
    db.prepare('VACUUM INTO ?').run(unfinished)
    const written = new Sqlite(unfinished, { readonly: true, fileMustExist: true })
    const verdict = written.pragma('integrity_check', { simple: true })
    written.close()
    if (verdict !== 'ok') throw new Error(`The backup ${unfinished} is not whole: ${verdict}`)
    toDisk(unfinished)
    renameSync(unfinished, copy)
    if (process.platform !== 'win32') toDisk(folder)
    return copy
  } catch (error) {
    rmSync(unfinished, { force: true })
    throw error
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
