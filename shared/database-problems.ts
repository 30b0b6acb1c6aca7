import type { Problem } from './problem.ts'

const replaceable = new Set(['databaseDamaged', 'notADatabase', 'databaseMissing'])

/** Whether these are reasons not to open a database for which a backup may take its place. */
export const backupMayReplace = (problems: readonly Problem[]): boolean =>
  problems.some(({ code }) => replaceable.has(code))
