import { randomBytes, randomFillSync } from 'node:crypto'
import type { Database } from 'better-sqlite3'
import { v7 } from 'uuid'

/** The moment, ms, and the number within it of the last identifier that was given out. */
let last = { msecs: 0, seq: 0 }

/** A place behind the last; a clock that was set back does not count. */
function next(msecs: number): { msecs: number; seq: number } {
  // Half of the counter's range is left to count through.
  if (msecs > last.msecs) last = { msecs, seq: randomBytes(4).readUInt32BE() >>> 1 }
  else last = { msecs: last.msecs, seq: last.seq + 1 }
  return last
}

/** Random bytes in hand, and how many of them have been used: an import needs very many. */
const pool = new Uint8Array(16 * 1024)
let used = pool.length

function random16(): Uint8Array {
  if (used === pool.length) {
    randomFillSync(pool)
    used = 0
  }
  used += 16
  return pool.subarray(used - 16, used)
}

/** A new identifier, unique across databases and rising with time (UUID version 7, RFC 9562). */
export const newId = (): string => v7({ random: random16(), ...next(Date.now()) })

/** Lets all new identifiers stand behind those of a database, also where the clock was set back since. */
export function riseAbove(db: Database): void {
  const id = db.prepare(`SELECT max(rowId) FROM change WHERE rowId < '1'`).pluck().get() as string | null
  // The first twelve digits are the time in ms.
  const msecs = Number.parseInt((id ?? '').replace('-', '').slice(0, 12), 16)
  if (msecs >= last.msecs) next(msecs + 1)
}

/** The time now as databases and files hold it (ISO 8601, UTC). */
export const now = (): string => new Date().toISOString()

/** A time, or now, as names of files hold it. */
export const stamp = (time = new Date()): string => time.toISOString().replace(/[:.]/g, '-')
