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

/** A new identifier, unique across databases and rising with time (UUID version 7, RFC 9562). */
export const newId = (): string => v7(next(Date.now()))

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

/** Identifiers of one moment that rise from one to the next; for very many of them at once. */
export function risingIds(): () => string {
  const pool = new Uint8Array(64 * 1024)
  let at = pool.length
  const msecs = Date.now()
  return () => {
    if (at === pool.length) {
      randomFillSync(pool)
      at = 0
    }
    at += 16
    return v7({ random: pool.subarray(at - 16, at), ...next(msecs) })
  }
}
