import { dirname, join } from 'node:path'
import type { Problem } from '../../../shared/problem.ts'
import { backupsOf, stepsIn } from './backups.ts'

/**
 * The problem that a database is damaged, with the way on.
 *
 * @param what what is wrong, as part of a sentence
 */
export function damaged(file: string, what = 'parts of it cannot be read'): Problem {
  const backup = newestBackup(file)
  const copy = backup
    ? `A backup lies beside it: ‘${backup}’. It can be put in its place; the damaged file is kept.`
    : 'No backup lies beside it. One from elsewhere, copied into this folder under its own name, can take its place; ' +
      'or begin with an empty database.'
  return {
    code: 'databaseDamaged',
    message: `‘${file}’ is damaged: ${what}. It is kept as it is, and nothing more is written to it. ${copy}`,
  }
}

/**
 * The problem that a database is not there any more, where backups of it are: an empty one in its place would look as if
 * all were lost. Null where there are none: it is the first start.
 */
export function missing(file: string): Problem | null {
  const backup = newestBackup(file)
  if (backup === null) return null
  return {
    code: 'databaseMissing',
    message:
      `‘${file}’ is missing or empty, but backups of it lie beside it, the newest being ‘${backup}’. ` +
      'Put one in its place; or move the backups to another folder to begin with an empty database.',
  }
}

/** What is wrong with a file that says it is ours. */
export const otherSchema = 'its tables or triggers are not those of Evenfilm'

/** The backup beside a database that holds the last step, whatever the clock said, or null. */
function newestBackup(file: string): string | null {
  const paths = backupsOf(file).map(({ name }) => join(dirname(file), name))
  const steps = new Map(paths.map((path) => [path, stepsIn(path) ?? -1]))
  const most = Math.max(...steps.values())
  return paths.find((path) => steps.get(path) === most) ?? null
}
