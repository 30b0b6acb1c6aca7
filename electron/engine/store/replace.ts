import { existsSync, renameSync, statSync } from 'node:fs'
import { renameOnDisk } from './backup.ts'
import { stamp } from './ids.ts'

/** Name of a whole database that is about to take the place of one that cannot be read. */
export const replacementOf = (file: string): string => `${file}.replacing`

/**
 * Lets a replacement that is there take the place of the database, and keeps what is there under another name with its
 * log. A program that is killed in this has the next start do the rest: in between there may be no database, and
 * an empty one must not be made.
 *
 * @returns the path under which what was there is kept; null where nothing was
 */
export function finishReplacing(file: string): string | null {
  const replacement = replacementOf(file)
  const made = statSync(replacement, { throwIfNoEntry: false })
  if (!made) return null
  // The time of the replacement, so that the parts keep one name whoever moves them.
  const kept = `${file}.damaged.${stamp(made.mtime)}`
  // The log first: the database must never meet the log of another.
  for (const part of ['-wal', '-shm', ''])
    if (existsSync(file + part)) renameSync(file + part, `${kept}${part}`)
  renameOnDisk(replacement, file)
  return existsSync(kept) ? kept : null
}
