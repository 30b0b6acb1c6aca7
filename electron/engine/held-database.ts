import { type Answer, type Problem, refuse } from '../../shared/problem.ts'
import { fileUnder, isInPlace, rescue } from './store/in-place.ts'
import { openStore, type Store } from './store/open.ts'
import type { Reading } from './store/read-through.ts'
import { keepSummaries } from './store/run-summaries.ts'

/** The database of an engine, which may be open, closed for a while, or impossible to open. */
export type HeldDatabase = {
  /** The open database, or null. */
  current(): Store | null
  /** The open database, opened where need be, or why it cannot be opened or used. */
  open(): Answer<Store>
  /** Why what was just written may not be found again, or null where the file still stands in its place. */
  lost(store: Store): Extract<Answer<unknown>, { ok: false }> | null
  /** Whether another process has written, or the file has gone, since this was last asked. */
  hasChanged(): boolean
  /** Writes some of what was worked out and follows from the rest; not while anything else is under way. */
  keep(): void
  close(): void
}

/** How long after it was opened a large file is read through, so that it is in nobody's way, ms. */
const readAfter = 1000

/**
 * Holds the database of a file.
 *
 * @param by.settled waits until nothing works on the database any more
 * @param by.readThrough reads a large file through beside the work on it
 * @param by.tell says that there is something new to show
 */
export function holdDatabase(
  file: string,
  by: {
    busyTimeout: number
    readAtOnce?: number | undefined
    settled(): Promise<unknown>
    readThrough(how: Reading): Promise<Answer<unknown>>
    tell(): void
  },
): HeldDatabase {
  let store: Store | null = null
  let seen = 0
  /** What was found in a file after it was opened, and in which: it is not opened again. */
  let found: { damage: Problem; identity: string } | null = null
  /** What was saved of a file that was removed, until the next is open. */
  let saved: Problem | null = null

  const lost: HeldDatabase['lost'] = (held) => {
    if (isInPlace(held)) return null
    const { problem, saved: isSaved } = rescue(held)
    if (isSaved && held === store) {
      saved = problem
      store = null
      void by.settled().then(() => held.db.close())
    }
    return refuse(problem.code, problem.message)
  }

  const readLater = (held: Store, how: Reading) => {
    const read = async () => {
      if (held !== store) return
      const answer = await by.readThrough(how)
      const damage = answer.ok ? undefined : answer.problems.find(({ code }) => code === 'databaseDamaged')
      if (!damage || held !== store) return
      found = { damage, identity: held.identity }
      store = null
      void by.settled().then(() => held.db.close())
      by.tell()
    }
    setTimeout(read, readAfter).unref()
  }

  return {
    current: () => store,
    lost,
    open() {
      if (store) return lost(store) ?? { ok: true, value: store }
      if (found && fileUnder(file) === found.identity) return { ok: false, problems: [found.damage] }
      found = null
      const { busyTimeout, readAtOnce } = by
      const opened = openStore(file, { busyTimeout, ...(readAtOnce === undefined ? {} : { readAtOnce }) })
      if (!opened.ok) return opened
      store = opened.value
      if (store.unread) readLater(store, store.unread)
      seen = dataVersion(store)
      if (saved) store.warnings = [...store.warnings, saved]
      saved = null
      return opened
    },
    hasChanged() {
      if (!store) return false
      if (!isInPlace(store)) return true
      const version = dataVersion(store)
      const changed = version !== seen
      seen = version
      return changed
    },
    keep() {
      if (store) keepSummaries(store)
    },
    close() {
      if (store) keepSummaries(store, Number.POSITIVE_INFINITY)
      if (store && !isInPlace(store)) rescue(store)
      store?.db.close()
      store = null
    },
  }
}

/** Rises when another process has written to the database. */
const dataVersion = (store: Store) => store.db.pragma('data_version', { simple: true }) as number
