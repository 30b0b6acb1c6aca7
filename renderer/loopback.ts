import type { EngineState } from '../shared/engine-state.ts'
import { type Answer, refuse } from '../shared/problem.ts'
import type { Progress } from '../shared/progress.ts'
import { words } from './words.ts'

/** How it stands with the engine as this page sees it; its door may be gone as well, or know the page no more. */
export type DoorState = EngineState | { state: 'gone' } | { state: 'notAdmitted' }

/** What is heard over a door. */
export type Heard = {
  changed(): void
  progress(progress: Progress): void
  state(state: DoorState): void
}

/** How long a call waits at most for word that the engine works before it is sent again, ms. */
const patience = 3000

/**
 * The door of a browser: calls are posted, and what happens comes by server-sent events. A call that gets no answer, since
 * the engine does not answer or the program has gone, is sent again under the same key, so that it is done once.
 */
export function loopback(heard: Heard) {
  /** Tells this page from others that the same engine serves. */
  const page = crypto.randomUUID()
  let state: DoorState['state'] = 'works'
  const waiting = new Set<() => void>()

  function turn(to: DoorState) {
    state = to.state
    heard.state(to)
    if (['works', 'again', 'ended'].includes(state)) for (const goOn of waiting) goOn()
  }

  /** Until there is word, or it is time to try. */
  function again(): Promise<void> {
    return new Promise((done) => {
      const goOn = () => {
        clearTimeout(clock)
        waiting.delete(goOn)
        done()
      }
      const clock = setTimeout(goOn, patience)
      waiting.add(goOn)
    })
  }

  const post = (to: string, body: string) =>
    fetch(to, { method: 'POST', headers: { 'content-type': 'application/json' }, body })

  /** Null where the call has to be sent again. */
  async function tried(body: string): Promise<Answer<unknown> | null> {
    try {
      const response = await post('/call', body)
      if (response.status === 403) turn({ state: 'notAdmitted' })
      if (response.status === 403 || response.status === 503) return null
      if (response.status === 500) return refuse('defect', words.door.defect)
      return (await response.json()) as Answer<unknown>
    } catch {
      turn({ state: 'gone' })
      return null
    }
  }

  function listen() {
    const events = new EventSource('/events')
    events.addEventListener('changed', heard.changed)
    events.addEventListener('progress', ({ data }: MessageEvent<string>) => {
      const progress = JSON.parse(data) as Progress
      if (progress.page === page) heard.progress(progress)
    })
    events.addEventListener('engine', ({ data }: MessageEvent<string>) => {
      const lost = state === 'gone' || state === 'notAdmitted'
      turn(JSON.parse(data) as EngineState)
      // What has changed meanwhile nobody has told of.
      if (lost) heard.changed()
    })
    events.addEventListener('error', async () => {
      if (events.readyState !== EventSource.CLOSED) return turn({ state: 'gone' })
      // Refused, and the browser does not try again by itself.
      const refused = await fetch('/').then(
        ({ status }) => status === 403,
        () => false,
      )
      turn({ state: refused ? 'notAdmitted' : 'gone' })
      setTimeout(listen, patience)
    })
  }

  return {
    listen,
    async call(name: string, args: unknown): Promise<Answer<unknown>> {
      const body = JSON.stringify({ name, args, page, key: crypto.randomUUID() })
      for (;;) {
        const answer = await tried(body)
        if (answer) return answer
        await again()
      }
    },
    startEngineAgain: () => post('/start-again', '').catch(() => turn({ state: 'gone' })),
  }
}
