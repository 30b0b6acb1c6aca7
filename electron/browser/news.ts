import type { ServerResponse } from 'node:http'
import { freshNonce, guardHeaders } from '../page-files.ts'

/** Word to the pages that are open, as server-sent events (WHATWG HTML, section 9.2). */
export type News = ReturnType<typeof makeNews>

export function makeNews() {
  const followers = new Set<ServerResponse>()
  // A line now and then lets both ends notice that the other has gone.
  const beat = setInterval(() => send(':\n\n'), 25_000)
  beat.unref()

  function send(text: string) {
    for (const follower of followers) follower.write(text)
  }

  return {
    /** Keeps the response open and writes to it whatever happens from now on. */
    follow(response: ServerResponse) {
      response.writeHead(200, { ...guardHeaders(freshNonce()), 'Content-Type': 'text/event-stream' })
      response.write(':\n\n')
      followers.add(response)
      response.on('close', () => followers.delete(response))
    },
    /** `data` is JSON on one line. */
    tell(event: 'changed' | 'progress', data?: unknown) {
      send(`event: ${event}\ndata:${data === undefined ? '' : JSON.stringify(data)}\n\n`)
    },
    close() {
      clearInterval(beat)
      for (const follower of followers) follower.end()
    },
  }
}
