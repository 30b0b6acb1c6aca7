import { basename } from 'node:path'
import { type Answer, good } from '../../../shared/problem.ts'
import { backUp } from '../store/backup.ts'
import { takeAwayOld } from '../store/backups.ts'
import { withFaults } from '../store/faults.ts'
import { sqlite } from '../store/sqlite.ts'

/**
 * Backs a database up by a connection of its own, so that nobody waits, and takes away the backups that are too many, but
 * for one that is spared.
 *
 * @returns the name of the backup
 */
export function backupOfDatabase({
  databaseFile,
  occasion,
  spared = null,
}: {
  databaseFile: string
  occasion: string
  spared?: string | null
}): Answer<{ name: string }> {
  return withFaults(databaseFile, () => {
    const db = new (sqlite())(databaseFile, { readonly: true, fileMustExist: true })
    try {
      const name = basename(backUp(db, occasion))
      takeAwayOld(databaseFile, spared)
      return good({ name })
    } finally {
      db.close()
    }
  })
}
