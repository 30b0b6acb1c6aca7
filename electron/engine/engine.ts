import { userInfo } from 'node:os'
import { resolve } from 'node:path'
import { type CallName, contract } from '../../shared/contract.ts'
import { distributionsReady } from '../../shared/model/distributions.ts'
import { type Answer, inBrief, type Problem, refuse } from '../../shared/problem.ts'
import { nowAndThen, type Progress } from '../../shared/progress.ts'
import { backupClock } from './backup-clock.ts'
import { handlers } from './calls/all.ts'
import { backups } from './calls/backups.ts'
import type { DataFile, Page, Pieces } from './calls/handler.ts'
import type { ComputationName, Question } from './compute/computations.ts'
import { cancelled, startWorkers, type Workers } from './compute/workers.ts'
import { holdDatabase } from './held-database.ts'
import { workOff } from './long-call.ts'
import { plainIssue } from './plain-issue.ts'
import { answeredBefore } from './store/answered.ts'
import { problemOf, withFaults } from './store/faults.ts'
import { type Store, usualBusyTimeout } from './store/open.ts'
import { writeStep } from './store/step.ts'
import { withinBounds } from './within-bounds.ts'

export type EngineOptions = {
  /** The database; it is made where there is no file yet. */
  databaseFile: string
  /** Called after every change of the database, by this engine at once, by another process within a second. */
  onChanged?: () => void
  /** Called now and then while a long call of a page is under way. */
  onProgress?: (progress: Progress) => void
  /** How long a write waits for another process, ms (5000). */
  busyTimeout?: number
  /** Up to this size a file is read through before it is opened, bytes; a larger one beside the work on it (16 MB). */
  readAtOnce?: number
  /** Whether backups are made at the start and every hour of work, where something has changed. */
  keepBackups?: boolean
  /** Threads to compute on, which their owner closes; threads of its own where none are given. */
  workers?: Workers
}

export type Engine = {
  /**
   * Answers one call of the contract. Whatever a person can put right is a problem in the answer (a database
   * that cannot be opened too: every call tries again); a rejection is a defect of the program.
   *
   * @param page a word for the page that asks: its newer plan or recommendation supersedes one under way, it is told
   *   how far its long calls have come, and it may cancel them
   * @param key a word for this one call: a writer that is asked again under it has been done, and is answered as before
   */
  call(name: string, args: unknown, page?: string, key?: string): Promise<Answer<unknown>>
  close(): Promise<void>
}

const stopped = refuse('stopped', 'The program was closed before this was answered.')

/** How often the engine looks whether another process has written, and keeps what it has worked out, ms. */
const lookEvery = 1000

/** Starts the engine on a database file. */
export async function startEngine(options: EngineOptions): Promise<Engine> {
  await distributionsReady
  let closed = false
  const file = resolve(options.databaseFile)
  const { busyTimeout = usualBusyTimeout } = options
  const tell = options.onChanged ?? (() => {})
  const workers = options.workers ?? startWorkers()
  const underWay = new Map<string, AbortController>()
  const longCalls = new Set<Promise<unknown>>()

  const cancel = (name: string, page?: string) => underWay.get(`${name} of ${page}`)?.abort()

  /** Answers a call that takes long: beside the engine first, then in pieces, and last in one step. */
  const runLong = async (
    store: Store,
    { computation, newestOnly, backUpBefore, ask, pieces, finish }: Long,
    { name, args, page, key }: Asked,
  ): Promise<{ answer: Answer<unknown>; changed: boolean }> => {
    const input = withFaults(store.file, () => ask(args, store))
    if (!input.ok) return { answer: input, changed: false }
    const place = page === undefined ? null : `${name} of ${page}`
    const abort = new AbortController()
    if (place !== null) underWay.set(place, abort)
    const tellPage = nowAndThen((what, done, of) => {
      if (page !== undefined) options.onProgress?.({ page, call: name, what, done, of })
    })
    const { signal } = abort
    try {
      const question = { computation, input: input.value } as Question
      const newest = newestOnly ? place : null
      const output = await workers.compute(question, newest, { signal, tell: tellPage })
      if (closed) return { answer: stopped, changed: false }
      if (!output.ok) return { answer: output, changed: false }
      if (backUpBefore !== undefined) {
        const saved = await clock.backUpChanged(store, backUpBefore)
        if (!saved.ok) return { answer: saved, changed: false }
      }
      const step = () => run(store, { name, key }, () => finish(output.value, args, store))
      if (!pieces) return step()
      const halt = () => (closed ? stopped : signal.aborted ? cancelled : null)
      return await workOff(pieces(output.value, args, store), {
        file: store.file,
        tell: tellPage,
        halt,
        step,
      })
    } finally {
      if (place !== null && underWay.get(place) === abort) underWay.delete(place)
    }
  }

  const amongLong = <T>(call: Promise<T>): Promise<T> => {
    longCalls.add(call)
    return call.finally(() => longCalls.delete(call))
  }

  const database = holdDatabase(file, {
    ...{ busyTimeout, readAtOnce: options.readAtOnce, tell },
    settled: () => Promise.allSettled(longCalls),
    readThrough: (how) => workers.compute({ computation: 'readThrough', input: { databaseFile: file, how } }),
  })
  const clock = backupClock(file, { workers, current: () => database.current(), tell })

  /** Work on the file while it is closed; null where there is none. */
  let exchange: Promise<unknown> | null = null
  const data: DataFile = {
    file,
    who: who(),
    busyTimeout,
    open: database.open,
    backUp: clock.backUp,
    async whileClosed(work) {
      const working = (async () => {
        for (const abort of underWay.values()) abort.abort()
        await Promise.allSettled(longCalls)
        database.close()
        return work()
      })()
      exchange = working.catch(() => {})
      try {
        return await working
      } finally {
        exchange = null
        tell()
      }
    },
  }

  const looking = setInterval(() => {
    if (database.hasChanged()) tell()
    database.keep()
  }, lookEvery)
  looking.unref()
  database.open()
  if (options.keepBackups) clock.start()

  const answerTo = async (
    name: string,
    args: unknown,
    page?: string,
    key?: string,
  ): Promise<Answer<unknown>> => {
    if (closed) return stopped
    const checked = checkCall(name, args)
    if (!checked.ok) return checked
    while (exchange) await exchange
    if (isFileCall(checked.value.name)) {
      const answering = backups[checked.value.name] as (
        args: unknown,
        data: DataFile,
      ) => Promise<Answer<unknown>>
      return answering(checked.value.args, data)
    }
    const opened = database.open()
    if (!opened.ok) return opened
    const { name: known, args: given } = checked.value
    const before = key === undefined || !contract[known].writes ? null : answeredBefore(opened.value, key)
    if (before) return before
    const handler = handlers[known as keyof typeof handlers] as Plain | Long
    const { answer, changed } =
      typeof handler === 'function'
        ? run(opened.value, { name: known, key }, (store) =>
            handler(given, store, { cancel: (name) => cancel(name, page) }),
          )
        : await amongLong(runLong(opened.value, handler, { name: known, args: given, page, key }))
    if (!changed) return answer
    tell()
    return database.lost(opened.value) ?? answer
  }

  return {
    async call(name, args, page, key) {
      const answer = await answerTo(name, args, page, key)
      return answer.ok ? answer : { ok: false, problems: inBrief(answer.problems) }
    },
    async close() {
      closed = true
      clearInterval(looking)
      clock.stop()
      if (!options.workers) await workers.close()
      database.close()
    },
  }
}

const isFileCall = (name: CallName): name is keyof typeof backups => Object.hasOwn(backups, name)

/** The call and its arguments as the contract reads them, or what is wrong with them, by field. */
function checkCall(name: string, args: unknown): Answer<{ name: CallName; args: unknown }> {
  if (!Object.hasOwn(contract, name)) return refuse('unknownCall', `The engine knows no call ‘${name}’.`)
  const known = name as CallName
  if (!withinBounds(args))
    return refuse('badArgument', `${name} is given lists that are longer or deeper than any call takes.`)
  const parsed = contract[known].args.safeParse(args ?? {}, { reportInput: true })
  if (parsed.success) return { ok: true, value: { name: known, args: parsed.data } }
  const problems = parsed.error.issues.map((issue): Problem => {
    const place = issue.path.join('.')
    return {
      code: 'badArgument',
      message: `${place || name} ${plainIssue(issue)}.`,
      ...(place ? { column: place } : {}),
    }
  })
  return { ok: false, problems }
}

/** A call that has been checked, and who asks. */
type Asked = { name: CallName; args: unknown; page: string | undefined; key: string | undefined }

/** Handlers as the engine sees them: each takes what the contract has checked for its call. */
type Plain = (args: unknown, store: Store, page: Page) => Answer<unknown>
type Long = {
  computation: ComputationName
  newestOnly?: boolean
  backUpBefore?: string
  ask(args: unknown, store: Store): Answer<unknown>
  pieces?(output: unknown, args: unknown, store: Store): Pieces
  finish(output: unknown, args: unknown, store: Store): Answer<unknown>
}

/** Answers a call; where it writes, in one step. */
function run(
  store: Store,
  { name, key }: Pick<Asked, 'name' | 'key'>,
  answering: (store: Store) => Answer<unknown>,
): { answer: Answer<unknown>; changed: boolean } {
  try {
    if (!contract[name].writes) return { answer: answering(store), changed: false }
    return writeStep(store, { call: name, who: who(), kind: kindOf(name), key }, () => answering(store))
  } catch (error) {
    const problem = problemOf(error, store.file)
    if (!problem) throw error
    return { answer: { ok: false, problems: [problem] }, changed: false }
  }
}

const kindOf = (name: CallName) =>
  name === 'history.undo' ? 'undo' : name === 'history.redo' ? 'redo' : 'do'

/** The name under which the person is known to this computer. */
function who(): string {
  try {
    return userInfo().username
  } catch {
    // A user without an entry in the system's list has no name.
    return ''
  }
}
