import { z } from 'zod'
import { nothing, reads } from './call.ts'

/** A backup as it lies beside the database; `at` is the time in its name. */
export const backupKept = z.object({
  name: z.string(),
  /** Such as `start`, `hour`, `by-hand`, `before-import`, `before-version-2`. */
  occasion: z.string(),
  at: z.string(),
  bytes: z.number().int(),
})
export type BackupKept = z.infer<typeof backupKept>

/** What a backup holds; `steps` is the number of the last change. */
export const backupInside = z.object({
  version: z.number().int(),
  lastChange: z.string().nullable(),
  steps: z.number().int(),
  studies: z.array(
    z.object({
      name: z.string(),
      runs: z.number().int(),
      readings: z.number().int(),
      changedAt: z.string().nullable(),
    }),
  ),
})
export type BackupInside = z.infer<typeof backupInside>

const named = z.object({ name: z.string().max(400) })

/** Calls about the file as a whole: they make no step, and are answered where the database cannot be opened too. */
export const backups = {
  /** The folder, and the backups in it, newest first. */
  'backups.list': reads(nothing, z.object({ folder: z.string(), backups: z.array(backupKept) })),
  'backups.look': reads(named, backupInside),
  /** Makes one now; its name. */
  'backups.make': reads(nothing, named),
  /** Puts a backup in the place of the database; the name under which what was there is kept, null where nothing was. */
  'backups.restore': reads(named, z.object({ kept: z.string().nullable() })),
  /** Puts an empty database in the place of one that cannot be read; the name under which that is kept. */
  'backups.startEmpty': reads(nothing, z.object({ kept: z.string().nullable() })),
}
