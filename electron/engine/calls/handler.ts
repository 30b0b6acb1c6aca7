import type { Study } from '../../../shared/contract/things.ts'
import type { CallName, CheckedArgs, Result } from '../../../shared/contract.ts'
import { type Answer, good, refuse } from '../../../shared/problem.ts'
import type { Store } from '../store/open.ts'
import { studyOf } from '../store/studies.ts'

/**
 * Answers one call whose arguments have been checked. A writer is run inside a transaction that is one step of
 * the history, and has to name that step (`describeStep`); whatever it refuses leaves nothing behind.
 */
export type Handler<N extends CallName> = (args: CheckedArgs<N>, store: Store) => Answer<Result<N>>

/** The calls of one area, by name. */
export type Handlers<N extends CallName = CallName> = { [Name in N]: Handler<Name> }

/** The study, or the problem that there is none. */
export function findStudy(store: Store, studyId: string): Answer<Study> {
  const study = studyOf(store.db, studyId)
  return study ? good(study) : refuse('noSuchStudy', 'There is no such study here (any more).')
}

export const done = good({ done: true as const })
