import { userInfo } from 'node:os'
import { type CallName, contract } from '../../shared/contract.ts'
import { distributionsReady } from '../../shared/model/distributions.ts'
import { type Answer, type Problem, refuse } from '../../shared/problem.ts'
import { handlers } from './calls/all.ts'
import { plainIssue } from './plain-issue.ts'
import { problemOf } from './store/faults.ts'
import { openStore, type Store } from './store/open.ts'
import { writeStep } from './store/step.ts'

export type EngineOptions = {
  /** The database; it is made where there is no file yet. */
  databaseFile: string
  /** Called after every change of the database, by this engine at once, by another process within a second. */
  onChanged?: () => void
  /** How long a write waits for another process, ms (5000). */
  busyTimeout?: number
}

export type Engine = {
  /**
   * Answers one call of the contract. Whatever a person can put right is a problem in the answer (a database
   * that cannot be opened too: every call tries again); a rejection is a defect of the program.
   */
  call(name: string, args: unknown): Promise<Answer<unknown>>
  close(): Promise<void>
}

/** How often the engine looks whether another process has written, ms. */
const lookEvery = 1000

/** Starts the engine on a database file. */
export async function startEngine(options: EngineOptions): Promise<Engine> {
  await distributionsReady
  let store: Store | null = null
  let seen = 0
  let closed = false
  const tell = options.onChanged ?? (() => {})

  const open = (): Answer<Store> => {
    if (store) return { ok: true, value: store }
    const { busyTimeout } = options
    const opened = openStore(options.databaseFile, busyTimeout === undefined ? {} : { busyTimeout })
    if (opened.ok) {
      store = opened.value
      seen = dataVersion(store)
    }
    return opened
  }

  const look = () => {
    if (!store) return
    const version = dataVersion(store)
    if (version === seen) return
    seen = version
    tell()
  }
  const looking = setInterval(look, lookEvery)
  looking.unref()
  open()

  return {
    async call(name, args) {
      if (closed) throw new Error(`The engine was closed before ${name} was called.`)
      const checked = checkCall(name, args)
      if (!checked.ok) return checked
      const opened = open()
      if (!opened.ok) return opened
      const { answer, changed } = run(opened.value, checked.value.name, checked.value.args)
      if (changed) tell()
      return answer
    },
    async close() {
      closed = true
      clearInterval(looking)
      store?.db.close()
      store = null
    },
  }
}

/** Rises when another process has written to the database. */
const dataVersion = (store: Store) => store.db.pragma('data_version', { simple: true }) as number

/** The call and its arguments as the contract reads them, or what is wrong with them, by field. */
function checkCall(name: string, args: unknown): Answer<{ name: CallName; args: unknown }> {
  if (!Object.hasOwn(contract, name)) return refuse('unknownCall', `The engine knows no call ‘${name}’.`)
  const known = name as CallName
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

type Run = { answer: Answer<unknown>; changed: boolean }

function run(store: Store, name: CallName, args: unknown): Run {
  const handler = handlers[name] as (args: unknown, store: Store) => Answer<unknown>
  try {
    if (!contract[name].writes) return { answer: handler(args, store), changed: false }
    return writeStep(store, { call: name, who: who(), kind: kindOf(name) }, () => handler(args, store))
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
