import { z } from 'zod'
import { calls } from './contract/calls.ts'
import type { Answer } from './problem.ts'
import type { Progress } from './progress.ts'

/**
 * Every call between a door (window, browser, command line) and the engine: its name, the schema of its
 * arguments, the schema of its result. The schemas stand in contract/: things.ts, tools.ts, results/ and calls/,
 * one file an area.
 */
export const contract = calls

// The strict content policy of the page and of packaged windows forbids compiling code at run time.
z.config({ jitless: true })

export type CallName = keyof typeof contract
export type Args<N extends CallName> = z.input<(typeof contract)[N]['args']>
export type CheckedArgs<N extends CallName> = z.output<(typeof contract)[N]['args']>
export type Result<N extends CallName> = z.output<(typeof contract)[N]['result']>

/** What every door offers: one function, typed by the contract. */
export type CallEngine = <N extends CallName>(name: N, args: Args<N>) => Promise<Answer<Result<N>>>

/**
 * A message from a door to the engine; `page` tells the pages behind one door apart. What is asked again under the same
 * `key` is done once.
 */
export type Request = { id: number; name: string; args: unknown; page?: string; key?: string }

/** The message that asks for a sign of life. */
export type Alive = { kind: 'alive' }

/** The message that asks the engine's process to close its database and to end. */
export type Stop = { kind: 'stop' }

/** What the engine sends back: the answer to one request, how far it has come, word that the database changed, or that it lives. */
export type Reply =
  | { kind: 'answer'; id: number; answer: Answer<unknown> }
  | { kind: 'progress'; progress: Progress }
  | { kind: 'changed' }
  | { kind: 'ready' }
  | Alive
