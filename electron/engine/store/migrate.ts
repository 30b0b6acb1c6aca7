import type { Database } from 'better-sqlite3'
import { recordChanges, stopRecording } from './changes.ts'

/** Marks a database file as ours: ‘EvFi’ in ASCII. */
export const applicationId = 0x45764669

/** Brings a database to the newest version: each migration in one transaction with its version number. */
export function migrate(db: Database, migrations: readonly string[]): void {
  const version = () => db.pragma('user_version', { simple: true }) as number
  const one = db.transaction(() => {
    // Read again inside: another process may have been quicker.
    const at = version()
    const sql = migrations[at]
    if (sql === undefined) return false
    // What a migration fills in is no step of anybody's.
    stopRecording(db)
    db.exec(sql)
    recordChanges(db)
    db.pragma(`application_id = ${applicationId}`)
    db.pragma(`user_version = ${at + 1}`)
    return true
  })
  while (version() < migrations.length && one.immediate()) {}
}
