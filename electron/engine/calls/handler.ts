import type { Study } from '../../../shared/contract/things.ts'
import type { CallName, CheckedArgs, Result } from '../../../shared/contract.ts'
import { type Answer, good, refuse } from '../../../shared/problem.ts'
import type { Tell } from '../../../shared/progress.ts'
import type { ComputationName, InputOf, OutputOf } from '../compute/computations.ts'
import type { Store } from '../store/open.ts'
import { studyOf } from '../store/studies.ts'

/**
 * Answers one call whose arguments have been checked. A writer is run inside a transaction that is one step of
 * the history, and has to name that step (`describeStep`); whatever it refuses leaves nothing behind.
 */
export type Handler<N extends CallName> = (
  args: CheckedArgs<N>,
  store: Store,
  page: Page,
) => Answer<Result<N>>

/** The page that asks. */
export type Page = {
  /** Ends its call of that name, if there is one under way. */
  cancel(call: string): void
}

/** Work of a long writer between its computation and its step, done a piece at a time so that nobody waits for it. */
export type Pieces = {
  /** Every piece is a transaction of its own and leaves nothing that anyone sees; it yields how far it has come. */
  make(): Iterable<Parameters<Tell>>
  /** Takes away what the pieces have left, a piece at a time. */
  takeBack(): Iterable<unknown>
}

/**
 * Answers one call by a computation beside the engine: `ask` reads what it takes, `finish` makes the answer of
 * what comes back, for which `pieces` may prepare. Of a writer only `finish` is run inside the step, and it looks at
 * the store anew.
 */
export type LongHandler<N extends CallName> = {
  [C in ComputationName]: {
    computation: C
    /** A newer call of this name from the same page ends this one. */
    newestOnly?: boolean
    /** What a backup is made for before the pieces; none where nothing has changed since the last. */
    backUpBefore?: string
    ask(args: CheckedArgs<N>, store: Store): Answer<InputOf<C>>
    pieces?(output: OutputOf<C>, args: CheckedArgs<N>, store: Store): Pieces
    finish(output: OutputOf<C>, args: CheckedArgs<N>, store: Store): Answer<Result<N>>
  }
}[ComputationName]

/** The database as a file, which may be one that cannot be opened. */
export type DataFile = {
  file: string
  /** The name under which the person is known to this computer. */
  who: string
  /** How long a write waits for another process, ms. */
  busyTimeout: number
  /** The open database, or why it cannot be opened. */
  open(): Answer<Store>
  /** Makes a backup on a thread beside, and takes those away that are too many, but for one that is spared; its name. */
  backUp(occasion: string, spared?: string): Promise<Answer<{ name: string }>>
  /** Does work while the database is closed; calls that come meanwhile wait. */
  whileClosed<T>(work: () => Promise<T>): Promise<T>
}

/** Answers one call about the file as a whole, which is no step of the history. */
export type FileHandler<N extends CallName> = (
  args: CheckedArgs<N>,
  data: DataFile,
) => Promise<Answer<Result<N>>>

/** Calls that are answered by file handlers. */
export type FileCall = Extract<CallName, `backups.${string}`>

/** The calls of one area, by name. */
export type Handlers<N extends CallName = Exclude<CallName, FileCall>> = {
  [Name in N]: Handler<Name> | LongHandler<Name>
}

/** The study, or the problem that there is none. */
export function findStudy(store: Store, studyId: string): Answer<Study> {
  const study = studyOf(store.db, studyId)
  return study ? good(study) : refuse('noSuchStudy', 'There is no such study here (any more).')
}

export const done = good({ done: true as const })
