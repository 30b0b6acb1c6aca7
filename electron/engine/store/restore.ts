import { existsSync, renameSync } from 'node:fs'
import Sqlite from 'better-sqlite3'
import { type Answer, good } from '../../../shared/problem.ts'
import { writeWhole } from './backup.ts'
import { problemOf } from './faults.ts'

/**
 * Puts a backup in the place of a database that can be read, through the library, so that another process that has it
 * open sees it change as by any other write.
 */
export async function restoreInto(file: string, backup: string): Promise<Answer<true>> {
  const source = new Sqlite(backup, { readonly: true, fileMustExist: true })
  try {
    await source.backup(file)
    return good(true)
  } catch (error) {
    const problem = problemOf(error, file)
    if (!problem) throw error
    return { ok: false, problems: [problem] }
  } finally {
    source.close()
  }
}

/**
 * Puts a backup in the place of a database that cannot be read. What is there is kept under another name, with its
 * log; returns that name.
 */
export function restoreBeside(file: string, backup: string): string {
  const kept = `${file}.damaged.${new Date().toISOString().replace(/[:.]/g, '-')}`
  // The log first: the database must never meet the log of another.
  for (const part of ['-wal', '-shm', ''])
    if (existsSync(file + part)) renameSync(file + part, `${kept}${part}`)
  const source = new Sqlite(backup, { readonly: true, fileMustExist: true })
  try {
    writeWhole(file, (unfinished) => source.prepare('VACUUM INTO ?').run(unfinished))
  } finally {
    source.close()
  }
  return kept
}
