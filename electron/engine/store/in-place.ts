import { rmSync, statSync } from 'node:fs'
import { dirname } from 'node:path'
import type { Problem } from '../../../shared/problem.ts'
import { backUp } from './backup.ts'
import { problemOf } from './faults.ts'
import type { Store } from './open.ts'

/**
 * Which file stands under a name. Where an open file can be removed or replaced, what is written to it goes on into a
 * file that nobody can find any more.
 */
export function fileUnder(path: string): string {
  // Windows lets nobody remove a database that is open.
  if (process.platform === 'win32') return 'the same'
  const found = statSync(path, { bigint: true, throwIfNoEntry: false })
  return found ? `${found.dev}:${found.ino}` : 'none'
}

/** Whether the file of an open database still stands under its name. */
export const isInPlace = ({ file, identity }: Store): boolean => fileUnder(file) === identity

/**
 * Saves what a database holds whose file has been removed or replaced: as a backup where it stood. Its log goes, so that
 * what stands there now never meets it.
 *
 * @returns what to tell, and whether it is saved; if not, the database must stay open
 */
export function rescue({ db, file, log }: Store): { problem: Problem; saved: boolean } {
  try {
    const copy = backUp(db, 'removed')
    if (fileUnder(`${file}-wal`) === log)
      for (const end of ['-wal', '-shm']) rmSync(file + end, { force: true })
    const saved = `All that was kept in it is saved as ‘${copy}’, a backup that can be put in its place.`
    return { problem: moved(file, saved), saved: true }
  } catch (error) {
    if (!problemOf(error, file)) throw error
    const waits = `What was kept in it is still held: put ‘${dirname(file)}’ back, or make room there, before you close the program.`
    return { problem: moved(file, waits), saved: false }
  }
}

const moved = (file: string, rest: string): Problem => ({
  code: 'databaseMoved',
  message: `‘${file}’ has been removed or replaced while it was open. ${rest}`,
})
