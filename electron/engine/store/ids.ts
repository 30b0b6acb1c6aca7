import { randomBytes, randomFillSync } from 'node:crypto'
import { v7 } from 'uuid'

/** A new identifier, unique across databases and rising with time (UUID version 7, RFC 9562). */
export const newId = (): string => v7()

/** The time now as databases and files hold it (ISO 8601, UTC). */
export const now = (): string => new Date().toISOString()

/** A time, or now, as names of files hold it. */
export const stamp = (time = new Date()): string => time.toISOString().replace(/[:.]/g, '-')

/** Identifiers of one moment that rise from one to the next; for very many of them at once. */
export function risingIds(): () => string {
  const pool = new Uint8Array(64 * 1024)
  let at = pool.length
  const msecs = Date.now()
  // Half of the counter's range is left to count through.
  let seq = randomBytes(4).readUInt32BE() >>> 1
  return () => {
    if (at === pool.length) {
      randomFillSync(pool)
      at = 0
    }
    at += 16
    return v7({ random: pool.subarray(at - 16, at), msecs, seq: seq++ })
  }
}
