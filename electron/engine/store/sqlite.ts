import { createRequire } from 'node:module'
import type Sqlite from 'better-sqlite3'

/**
 * The database library, loaded where it is first needed: a thread that only computes starts without it, and runs where
 * it cannot be loaded.
 */
export const sqlite = (): typeof Sqlite => createRequire(import.meta.url)('better-sqlite3')
