import { readdirSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import type { Problem } from '../../../shared/problem.ts'

/**
 * The problem that a database is damaged, with the way on.
 *
 * @param what what is wrong, as part of a sentence
 */
export function damaged(file: string, what = 'parts of it cannot be read'): Problem {
  const backup = newestBackup(file)
  const copy = backup
    ? `A backup lies beside it: ‘${backup}’. To go on with that, start the program with --data and its name.`
    : 'No backup lies beside it. To go on with one from elsewhere, start the program with --data and its name.'
  return {
    code: 'databaseDamaged',
    message: `‘${file}’ is damaged: ${what}. It is kept as it is, and nothing more is written to it. ${copy}`,
  }
}

/** The newest backup in the folder of a database, or null; the names end with the time of each. */
function newestBackup(file: string): string | null {
  try {
    const own = readdirSync(dirname(file)).filter(
      (name) => name.startsWith(`${basename(file)}.`) && name.endsWith('.backup'),
    )
    const newest = own.sort((a, b) => timeIn(a).localeCompare(timeIn(b))).at(-1)
    return newest === undefined ? null : join(dirname(file), newest)
  } catch {
    // The folder cannot be listed: then nobody can say what lies there.
    return null
  }
}

const timeIn = (name: string) => /\d{4}-\d{2}-\d{2}T[\d-]+Z?(?=\.backup$)/.exec(name)?.[0] ?? ''
