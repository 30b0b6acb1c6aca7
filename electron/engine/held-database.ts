import { type Answer, type Problem, refuse } from '../../shared/problem.ts'
import { isInPlace, rescue } from './store/in-place.ts'
import { openStore, type Store } from './store/open.ts'

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
  close(): void
}

/**
 * Holds the database of a file.
 *
 * @param by.settled waits until nothing works on the database any more
 */
export function holdDatabase(
  file: string,
  by: { busyTimeout: number; settled(): Promise<unknown> },
): HeldDatabase {
  let store: Store | null = null
  let seen = 0
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

  return {
    current: () => store,
    lost,
    open() {
      if (store) return lost(store) ?? { ok: true, value: store }
      const opened = openStore(file, { busyTimeout: by.busyTimeout })
      if (!opened.ok) return opened
      store = opened.value
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
    close() {
      if (store && !isInPlace(store)) rescue(store)
      store?.db.close()
      store = null
    },
  }
}

/** Rises when another process has written to the database. */
const dataVersion = (store: Store) => store.db.pragma('data_version', { simple: true }) as number
