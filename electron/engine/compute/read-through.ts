import { type Answer, good } from '../../../shared/problem.ts'
import { damaged } from '../store/damage.ts'
import { withFaults } from '../store/faults.ts'
import { damageByTable, type Reading } from '../store/read-through.ts'
import { sqlite } from '../store/sqlite.ts'

/** Reads a database through by a connection of its own; a problem where it is damaged. */
export function readThrough({ databaseFile, how }: { databaseFile: string; how: Reading }): Answer<true> {
  return withFaults(databaseFile, () => {
    const db = new (sqlite())(databaseFile, { readonly: true, fileMustExist: true })
    try {
      const damage = damageByTable(db, how)
      return damage === null ? good(true) : { ok: false, problems: [damaged(databaseFile, damage)] }
    } finally {
      db.close()
    }
  })
}
