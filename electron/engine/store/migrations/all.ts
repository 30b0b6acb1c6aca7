import { first } from './first.ts'

/**
 * Every migration in order, as SQL. The version of a database (its user_version) is the number of those that
 * it has been through; a migration that has been released is never changed.
 */
export const migrations: readonly string[] = [first]
