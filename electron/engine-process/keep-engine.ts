import { randomUUID } from 'node:crypto'
import type { Alive, Reply, Request, Stop } from '../../shared/contract.ts'
import type { EngineState } from '../../shared/engine-state.ts'
import { type Answer, refuse } from '../../shared/problem.ts'
import type { Progress } from '../../shared/progress.ts'

/** The engine's process as its door sees it: two kinds of process speak the same messages. */
export type EngineProcess = {
  send(message: Request | Stop | Alive): void
  onMessage(handler: (message: Reply) => void): void
  /** The exit code, or null where a signal ended it. */
  onExit(handler: (code: number | null) => void): void
  /** Ends it at once, even where it answers no more. */
  kill(): void
}

export type KeptEngineOptions = {
  onChanged(): void
  onProgress(progress: Progress): void
  onState(state: EngineState): void
  /** Seconds without a sign of life, while a call waits, after which the engine counts as silent. */
  silence?: number
  /** The same while it starts, which may take long: after an unclean end the whole database is read. */
  startSilence?: number
  /** So many ends within `endsWithin` ms are one too many: it is not started again unasked. */
  mostEnds?: number
  endsWithin?: number
  /** Time to close the database when asked to stop, ms. */
  stopTime?: number
}

export type KeptEngine = {
  /**
   * Answers one call, across ends of the engine's process; refused only where that ends again and again. `page` tells the
   * pages that ask apart; what is asked again under the same `key` is done once.
   */
  call(name: string, args: unknown, page?: string, key?: string): Promise<Answer<unknown>>
  readonly state: EngineState
  /** Ends the engine that is silent, or starts the one that is not started any more. */
  startAgain(): void
  /** Ends the engine. */
  stop(): Promise<void>
}

type Waiting = { request: Request; sent: number; done(answer: Answer<unknown>): void }

/** A call that two engines did not live to answer is what ends them, for all that is known. */
const mostSent = 2
/** A gentle end that nobody asked for is mostly part of the end of everything (Ctrl+C in a terminal), ms. */
const endTogether = 500
/** Before a start after the second end in a row, ms. */
const breath = 1000

/**
 * Keeps an engine's process going. What it has not answered when it ends is sent again to the next one, under the same
 * key; one that does not answer is told of, and is ended when a person asks for it.
 */
export function keepEngine(start: () => EngineProcess, options: KeptEngineOptions): KeptEngine {
  const { silence = 10, startSilence = 60, mostEnds = 3, endsWithin = 60_000, stopTime = 3000 } = options
  const waiting = new Map<number, Waiting>()
  let lastId = 0
  let engine: EngineProcess | null = null
  let ready = false
  let stopping = false
  let stopped = () => {}
  let state: EngineState = { state: 'works' }
  let ends: number[] = []
  let again: ReturnType<typeof setTimeout> | undefined

  const turn = (to: EngineState) => {
    if (JSON.stringify(to) === JSON.stringify(state)) return
    state = to
    options.onState(to)
  }

  // Counted in ticks: a computer that slept is not taken for an engine that does not answer.
  let quiet = 0
  let clock: ReturnType<typeof setInterval> | undefined
  const tick = () => {
    quiet += 1
    if (ready) engine?.send({ kind: 'alive' })
    if (quiet === (ready ? silence : startSilence)) turn({ state: 'silent', seconds: quiet })
  }
  const watch = () => {
    const needed = engine !== null && (waiting.size > 0 || !ready)
    if (needed && clock === undefined) {
      quiet = 0
      clock = setInterval(tick, 1000)
    } else if (!needed) {
      clearInterval(clock)
      clock = undefined
    }
  }

  const answer = (id: number, given: Answer<unknown>) => {
    const call = waiting.get(id)
    waiting.delete(id)
    watch()
    call?.done(given)
  }
  const send = (call: Waiting) => {
    call.sent += 1
    try {
      engine?.send(call.request)
    } catch (error) {
      // What is nested too deep to be written down, say.
      answer(call.request.id, refuse('badCall', `The call cannot be handed on: ${(error as Error).message}.`))
    }
  }

  const hear = (message: Reply) => {
    quiet = 0
    if (message.kind === 'ready') {
      ready = true
      const restarted = state.state !== 'works'
      for (const call of [...waiting.values()]) send(call)
      turn({ state: 'works' })
      // What others have written meanwhile, nobody has told of.
      if (restarted) options.onChanged()
      watch()
    } else if (ready) turn({ state: 'works' })
    if (message.kind === 'changed') options.onChanged()
    else if (message.kind === 'progress') options.onProgress(message.progress)
    else if (message.kind === 'answer') answer(message.id, message.answer)
  }

  const launch = () => {
    const own = start()
    engine = own
    ready = false
    quiet = 0
    own.onMessage((message) => own === engine && hear(message))
    own.onExit((code) => own === engine && ended(code))
    watch()
  }

  /** Set once a person has asked for the end of the engine. */
  let asked = false
  const ended = (code: number | null) => {
    engine = null
    ready = false
    watch()
    if (stopping) return stopped()
    const because = asked ? 'it did not answer' : howEnded(code)
    // An end that a person asked for is no sign of a defect that comes back at once.
    ends = asked ? [] : [...ends.filter((at) => at > Date.now() - endsWithin), Date.now()]
    asked = false
    for (const [id, { sent }] of [...waiting]) if (sent >= mostSent) answer(id, gone(because))
    if (ends.length > mostEnds) {
      turn({ state: 'ended', because, times: ends.length })
      for (const id of [...waiting.keys()]) answer(id, gone(because))
      return
    }
    turn({ state: 'again', because })
    again = setTimeout(launch, code === 0 ? endTogether : ends.length > 1 ? breath : 0)
  }

  launch()
  return {
    get state() {
      return state
    },
    call(name, args, page, key = randomUUID()) {
      if (stopping) return Promise.resolve(gone('it was stopped'))
      if (state.state === 'ended') return Promise.resolve(gone(state.because))
      return new Promise((done) => {
        const id = ++lastId
        const request = { id, name, args, key, ...(page === undefined ? {} : { page }) }
        const call = { request, sent: 0, done }
        waiting.set(id, call)
        watch()
        if (ready) send(call)
      })
    },
    startAgain() {
      if (stopping) return
      if (state.state === 'silent') {
        asked = true
        engine?.kill()
      } else if (state.state === 'ended') {
        turn({ state: 'again', because: state.because })
        ends = []
        launch()
      }
    },
    async stop() {
      if (stopping) return
      stopping = true
      clearTimeout(again)
      if (engine) {
        const over = new Promise<void>((done) => {
          stopped = done
        })
        engine.send({ kind: 'stop' })
        const limit = setTimeout(() => engine?.kill(), stopTime)
        await over
        clearTimeout(limit)
      }
      for (const id of [...waiting.keys()]) answer(id, gone('it was stopped'))
    },
  }
}

const howEnded = (code: number | null) => (code === null ? 'by a signal' : `exit code ${code}`)

const gone = (because: string) =>
  refuse(
    'engineGone',
    `The part of the program that keeps the data has ended (${because}). What was saved is kept.`,
  )
