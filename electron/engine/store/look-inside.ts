import type { BackupInside } from '../../../shared/contract/calls/backups.ts'
import { type Answer, good, refuse } from '../../../shared/problem.ts'
import { lastStep } from './backups.ts'
import { withFaults } from './faults.ts'
import { applicationId } from './migrate.ts'
import { migrations } from './migrations/all.ts'
import { hasOurSchema } from './schema.ts'
import { sqlite } from './sqlite.ts'

/** What a backup holds, once every page of it has been read. */
export function lookInside(path: string): Answer<BackupInside> {
  return withFaults(path, () => {
    const db = new (sqlite())(path, { readonly: true, fileMustExist: true })
    try {
      if (db.pragma('application_id', { simple: true }) !== applicationId)
        return refuse('wrongApplication', `‘${path}’ is no database of Evenfilm.`)
      const version = db.pragma('user_version', { simple: true }) as number
      if (version > migrations.length)
        return refuse('newerVersion', `‘${path}’ was written by a newer Evenfilm (version ${version}).`)
      if (!hasOurSchema(db, 'database') || db.pragma('integrity_check(1)', { simple: true }) !== 'ok')
        return refuse('backupDamaged', `‘${path}’ is damaged. Choose another backup.`)
      const studies = db
        .prepare(
          `SELECT study.name,
             (SELECT count(*) FROM run WHERE studyId = study.id AND removed = 0) AS runs,
             (SELECT count(*) FROM reading JOIN run ON run.id = reading.runId
              WHERE run.studyId = study.id AND reading.withdrawn = 0) AS readings,
             (SELECT max(at) FROM step WHERE studyId = study.id) AS changedAt
           FROM study WHERE removed = 0 ORDER BY changedAt DESC`,
        )
        .all() as BackupInside['studies']
      const lastChange = db.prepare('SELECT max(at) FROM step').pluck().get() as string | null
      return good({ version, studies, lastChange, steps: lastStep(db) })
    } finally {
      db.close()
    }
  })
}
