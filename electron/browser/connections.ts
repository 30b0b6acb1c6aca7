import type { Server } from 'node:http'
import type { Socket } from 'node:net'

/** So many connections may stand open of which nobody knows yet whose they are. */
const most = 64

/** Time that a request's head, and the whole request, may take to come, ms. A call holds at most a large file, from this machine. */
export const patience = { headersTimeout: 10_000, requestTimeout: 60_000, connectionsCheckingInterval: 2000 }

/**
 * Holds the connections of strangers within bounds: where another comes, the one that has said nothing acceptable for
 * longest is ended, so that who is known is always answered.
 */
export function boundStrangers(server: Server): { known(socket: Socket): void } {
  const strangers = new Set<Socket>()
  server.on('connection', (socket) => {
    strangers.add(socket)
    socket.once('close', () => strangers.delete(socket))
    const [oldest] = strangers
    if (strangers.size > most) oldest?.destroy()
  })
  return { known: (socket) => strangers.delete(socket) }
}
