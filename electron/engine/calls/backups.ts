import { basename, dirname, join } from 'node:path'
import { backupMayReplace } from '../../../shared/database-problems.ts'
import { good, refuse } from '../../../shared/problem.ts'
import { backupNamed, backupsOf } from '../store/backups.ts'
import { withFaults } from '../store/faults.ts'
import { lookInside } from '../store/look-inside.ts'
import { restoreBeside, restoreInto, startEmptyBeside } from '../store/restore.ts'
import type { FileCall, FileHandler } from './handler.ts'

export const backups: { [Name in FileCall]: FileHandler<Name> } = {
  'backups.list': async (_args, { file }) => good({ folder: dirname(file), backups: backupsOf(file) }),

  'backups.look': async ({ name }, { file }) => {
    const backup = backupNamed(file, name)
    return backup.ok ? lookInside(backup.value) : backup
  },

  'backups.make': (_args, { backUp }) => backUp('by-hand'),

  'backups.restore': async ({ name }, data) => {
    const backup = backupNamed(data.file, name)
    if (!backup.ok) return backup
    const inside = lookInside(backup.value)
    if (!inside.ok) return inside
    const opened = data.open()
    if (!opened.ok && !backupMayReplace(opened.problems)) return opened
    const at = backupsOf(data.file).find((each) => each.name === name)?.at ?? ''
    const restoring = {
      backup: backup.value,
      who: data.who,
      label: `Put the backup of ${at.slice(0, 16).replace('T', ' ')} UTC in the place of the database`,
    }
    return data.whileClosed(async () => {
      if (!opened.ok)
        return withFaults(data.file, () => {
          const kept = restoreBeside(data.file, restoring)
          return good({ kept: kept === null ? null : basename(kept) })
        })
      const saved = await data.backUp('before-restore', name)
      if (!saved.ok) return saved
      const restored = await restoreInto(data.file, restoring, {
        saved: join(dirname(data.file), saved.value.name),
        busyTimeout: data.busyTimeout,
      })
      return restored.ok ? good({ kept: saved.value.name }) : restored
    })
  },

  'backups.startEmpty': async (_args, data) => {
    const opened = data.open()
    if (opened.ok)
      return refuse('databaseWhole', 'The database can be read; an empty one is not put in its place.')
    if (!backupMayReplace(opened.problems)) return opened
    return data.whileClosed(async () =>
      withFaults(data.file, () => {
        const kept = startEmptyBeside(data.file)
        return good({ kept: kept === null ? null : basename(kept) })
      }),
    )
  },
}
