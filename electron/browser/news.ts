import type { ServerResponse } from 'node:http'
import { freshNonce, guardHeaders } from '../page-files.ts'

/** Word to the pages that are open, as server-sent events (WHATWG HTML, section 9.2). */
export type News = ReturnType<typeof makeNews>

type Event = 'changed' | 'progress' | 'engine'

const text = (event: Event, data?: unknown) =>
  `event: ${event}\ndata:${data === undefined ? '' : JSON.stringify(data)}\n\n`

export function makeNews() {
  const followers = new Set<ServerResponse>()
  // A line now and then lets both ends notice that the other has gone.
  const beat = setInterval(() => send(':\n\n'), 25_000)
  beat.unref()

  function send(words: string) {
    for (const follower of followers) follower.write(words)
  }

  return {
    /** Keeps the response open and writes to it how things stand, and whatever happens from now on. */
    follow(response: ServerResponse, event: Event, data: unknown) {
      response.writeHead(200, { ...guardHeaders(freshNonce()), 'Content-Type': 'text/event-stream' })
      // A page that has lost this door looks for it again every second.
      response.write(`retry: 1000\n\n${text(event, data)}`)
      followers.add(response)
      response.on('close', () => followers.delete(response))
    },
    /** `data` is JSON on one line. */
    tell(event: Event, data?: unknown) {
      send(text(event, data))
    },
    close() {
      clearInterval(beat)
      for (const follower of followers) follower.end()
    },
  }
}
