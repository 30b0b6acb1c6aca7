import type { Reply, Request, Stop } from '../../shared/contract.ts'
import { type Answer, refuse } from '../../shared/problem.ts'
import type { Progress } from '../../shared/progress.ts'

/** The engine's process as its caller sees it: two kinds of process speak the same messages. */
export type EngineProcess = {
  send(message: Request | Stop): void
  onMessage(handler: (message: Reply) => void): void
  /** The exit code, or null where a signal ended it. */
  onExit(handler: (code: number | null) => void): void
  kill(): void
}

export type EngineClientOptions = {
  onChanged(): void
  onProgress(progress: Progress): void
  /** The engine has ended without being asked to. */
  onGone(code: number | null): void
  /** Time for one call, ms. */
  callTime?: number
  /** Time to close the database when asked to stop, ms. */
  stopTime?: number
}

export type EngineClient = {
  /** `page` tells the pages that ask apart. */
  call(name: string, args: unknown, page?: string): Promise<Answer<unknown>>
  /** True once the engine has opened its database, false where it ended before. */
  ready: Promise<boolean>
  /** Ends the engine. */
  stop(): Promise<void>
}

/**
 * Calls the engine over its messages. A call waits until the engine is ready; one that the engine does not live
 * to answer, or does not answer in time, is refused with the reason.
 */
export function engineClient(engine: EngineProcess, options: EngineClientOptions): EngineClient {
  const { onChanged, onProgress, onGone, callTime = 120_000, stopTime = 3000 } = options
  const waiting = new Map<number, (answer: Answer<unknown>) => void>()
  let lastId = 0
  let ended: { code: number | null } | null = null
  let stopping = false
  let isReady: (ready: boolean) => void
  const ready = new Promise<boolean>((done) => {
    isReady = done
  })
  let isOver: () => void
  const over = new Promise<void>((done) => {
    isOver = done
  })

  const gone = (code: number | null) =>
    refuse(
      'engineGone',
      `The part of the program that keeps the data has ended (${code === null ? 'by a signal' : `exit code ${code}`}). What was saved is kept.`,
    )

  engine.onMessage((message) => {
    if (message.kind === 'ready') isReady(true)
    else if (message.kind === 'changed') onChanged()
    else if (message.kind === 'progress') onProgress(message.progress)
    else if (message.kind === 'answer') {
      waiting.get(message.id)?.(message.answer)
      waiting.delete(message.id)
    }
  })
  engine.onExit((code) => {
    if (ended) return
    ended = { code }
    isReady(false)
    for (const answer of waiting.values()) answer(gone(code))
    waiting.clear()
    isOver()
    if (!stopping) onGone(code)
  })

  return {
    ready,
    async call(name, args, page) {
      const id = ++lastId
      return await new Promise<Answer<unknown>>((done) => {
        if (ended) return done(gone(ended.code))
        const clock = setTimeout(() => {
          waiting.delete(id)
          done(refuse('tooLate', `‘${name}’ was not answered within ${callTime / 1000} s.`))
        }, callTime)
        waiting.set(id, (answer) => {
          clearTimeout(clock)
          done(answer)
        })
        // Where the engine ends before it is ready, its exit has already refused this call.
        ready.then(
          (open) => open && waiting.has(id) && engine.send({ id, name, args, ...(page ? { page } : {}) }),
        )
      })
    },
    async stop() {
      stopping = true
      if (ended) return
      engine.send({ kind: 'stop' })
      const clock = setTimeout(() => engine.kill(), stopTime)
      await over
      clearTimeout(clock)
    },
  }
}
