import { rmSync, statSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import type { Database } from 'better-sqlite3'
import type { BackupKept } from '../../../shared/contract/calls/backups.ts'
import { type Answer, good, refuse } from '../../../shared/problem.ts'
import { sqlite } from './sqlite.ts'
import { namesIn } from './unfinished.ts'

/** How many backups are kept, and how many of one day beside the newest of each day. */
const mostOfToday = 3
const mostInAll = 10

/** `NAME.before-import.2026-03-02T14-05-09-123Z.backup`; what stands between is the occasion. */
const nameForm = /\.([a-z0-9-]+)\.(\d{4}-\d{2}-\d{2})T(\d{2})-(\d{2})-(\d{2})-(\d{3})Z\.backup$/

/** The backups beside a database, newest first by the time in their names. */
export function backupsOf(file: string): BackupKept[] {
  const own = `${basename(file)}.`
  return namesIn(dirname(file))
    .filter((name) => name.startsWith(own) && nameForm.test(name.slice(own.length - 1)))
    .map((name) => {
      const [, occasion, day, hours, minutes, seconds, rest] = nameForm.exec(name) as unknown as string[]
      const at = `${day}T${hours}:${minutes}:${seconds}.${rest}Z`
      return { name, occasion: occasion as string, at, bytes: statSync(join(dirname(file), name)).size }
    })
    .sort((a, b) => b.at.localeCompare(a.at) || b.name.localeCompare(a.name))
}

/** The path of a backup of this database, or the problem that none has this name. */
export function backupNamed(file: string, name: string): Answer<string> {
  return backupsOf(file).some((backup) => backup.name === name)
    ? good(join(dirname(file), name))
    : refuse('noSuchBackup', `There is no backup ‘${name}’ beside ‘${file}’ (any more).`)
}

/** The number of the last step that a database holds: a backup with the same holds the same. */
export function lastStep(db: Database): number {
  return db.prepare(`SELECT coalesce(max(id), 0) FROM step`).pluck().get() as number
}

/**
 * The backups to take away: of the newest day the three newest are kept, of every other day the newest, ten in all.
 * Newest is by the steps that they hold, so that a clock that was set back takes no new work away.
 */
export function tooMany<T extends { at: string; steps: number }>(backups: readonly T[]): T[] {
  const newestFirst = [...backups].sort((a, b) => b.steps - a.steps || b.at.localeCompare(a.at))
  const dayOf = ({ at }: T) => at.slice(0, 10)
  const today = newestFirst[0] && dayOf(newestFirst[0])
  const ofDay = new Map<string, number>()
  const kept = newestFirst.filter((backup) => {
    const day = dayOf(backup)
    const nth = (ofDay.get(day) ?? 0) + 1
    ofDay.set(day, nth)
    return nth <= (day === today ? mostOfToday : 1)
  })
  const stay = new Set(kept.slice(0, mostInAll))
  return newestFirst.filter((backup) => !stay.has(backup))
}

/**
 * Takes away the backups that are too many. One that cannot be read is left: a person may want to look at it.
 *
 * @param spared the name of one that is needed
 */
export function takeAwayOld(file: string, spared: string | null): void {
  const known = backupsOf(file).flatMap((backup) => {
    const steps = stepsIn(join(dirname(file), backup.name))
    return steps === null ? [] : [{ ...backup, steps }]
  })
  for (const { name } of tooMany(known))
    if (name !== spared) rmSync(join(dirname(file), name), { force: true })
}

/** Whether no backup holds the last step of the database. */
export function changedSinceBackup(db: Database, file: string): boolean {
  const steps = lastStep(db)
  return steps > 0 && !backupsOf(file).some(({ name }) => stepsIn(join(dirname(file), name)) === steps)
}

/** The number of the last step that the database of a file holds; null where it cannot be read. */
export function stepsIn(path: string): number | null {
  try {
    const db = new (sqlite())(path, { readonly: true, fileMustExist: true })
    try {
      return lastStep(db)
    } finally {
      db.close()
    }
  } catch {
    return null
  }
}
