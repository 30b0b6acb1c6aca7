import type { Database } from 'better-sqlite3'
import type { Answer } from '../../../shared/problem.ts'
import { withFaults } from './faults.ts'
import type { Store } from './open.ts'

/** So many answers are kept: of what was asked longer ago, nobody waits for an answer any more. */
const most = 200

/** The answer that a writer gave under this key, or null where none has been done; a fault of the file is an answer too. */
export function answeredBefore({ db, file }: Store, key: string): Answer<unknown> | null {
  const kept = withFaults(file, () => ({
    ok: true as const,
    value: db.prepare('SELECT answer FROM answered WHERE key = ?').pluck().get(key) as string | undefined,
  }))
  if (!kept.ok) return kept
  return kept.value === undefined ? null : (JSON.parse(kept.value) as Answer<unknown>)
}

/** Keeps the answer of a writer under its key, within the transaction that does what it says. */
export function keepAnswer(db: Database, key: string, answer: Answer<unknown>): void {
  const { lastInsertRowid } = db
    .prepare('INSERT INTO answered (key, answer) VALUES (?, ?)')
    .run(key, JSON.stringify(answer))
  db.prepare('DELETE FROM answered WHERE id <= ?').run(Number(lastInsertRowid) - most)
}
