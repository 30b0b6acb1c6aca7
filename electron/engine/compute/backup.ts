import { basename } from 'node:path'
import { type Answer, good } from '../../../shared/problem.ts'
import { withFaults } from '../store/faults.ts'

/**
 * Backs a database up by a connection of its own, so that nobody waits, and takes away the backups that are too many.
 *
 * @returns the name of the backup
 */
export async function backupOfDatabase({
  databaseFile,
  occasion,
}: {
  databaseFile: string
  occasion: string
}): Promise<Answer<{ name: string }>> {
  // Loaded only here: a thread that computes needs no database.
  const { default: Sqlite } = await import('better-sqlite3')
  const { backUp } = await import('../store/backup.ts')
  const { takeAwayOld } = await import('../store/backups.ts')
  return withFaults(databaseFile, () => {
    const db = new Sqlite(databaseFile, { readonly: true, fileMustExist: true })
    try {
      const name = basename(backUp(db, occasion))
      takeAwayOld(databaseFile)
      return good({ name })
    } finally {
      db.close()
    }
  })
}
