import type { Alive, Reply, Request, Stop } from '../../shared/contract.ts'
import { refuse } from '../../shared/problem.ts'
import type { Engine, EngineOptions } from './engine.ts'

/** The two ends that a message port can have: a utility process of Electron, or a forked Node. */
type Port = { send(reply: Reply): void; onMessage(handler: (message: unknown) => void): void }
type ParentPort = {
  postMessage(message: unknown): void
  on(event: 'message', handler: (e: { data: unknown }) => void): void
}

/** The port to the process that started this one, or null where nobody did. */
export function portToParent(): Port | null {
  const { parentPort } = process as typeof process & { parentPort?: ParentPort }
  if (parentPort)
    return {
      send: (reply) => parentPort.postMessage(reply),
      onMessage: (handler) => parentPort.on('message', ({ data }) => handler(data)),
    }
  if (!process.send) return null
  return {
    // The channel is gone when the parent is; then nobody waits for the answer either.
    send: (reply) => process.connected && process.send?.(reply),
    onMessage: (handler) => process.on('message', handler),
  }
}

/**
 * Answers the requests of a port with the engine that `start` starts, says when it is ready, how far long calls have
 * come and when the database changed. Asked to stop, or left by its parent, it closes the engine and ends the process.
 */
export async function serveOnPort(
  port: Port,
  start: (tell: Pick<EngineOptions, 'onChanged' | 'onProgress'>) => Promise<Engine>,
): Promise<void> {
  const starting = start({
    onChanged: () => port.send({ kind: 'changed' }),
    onProgress: (progress) => port.send({ kind: 'progress', progress }),
  })
  // Asked before it is ready, it stops once it is.
  const stop = () => starting.then((engine) => engine.close()).finally(() => process.exit(0))
  for (const end of ['disconnect', 'SIGINT', 'SIGTERM'] as const) process.on(end, stop)
  port.onMessage(async (message) => {
    if (isStop(message)) return stop()
    if (isAlive(message)) return port.send({ kind: 'alive' })
    if (!isRequest(message)) return
    const { id, name, args, page, key } = message
    try {
      port.send({ kind: 'answer', id, answer: await (await starting).call(name, args, page, key) })
    } catch (error) {
      console.error(error)
      port.send({
        kind: 'answer',
        id,
        answer: refuse('defect', `A defect of the program in ${name}: ${(error as Error).message}`),
      })
    }
  })
  await starting
  port.send({ kind: 'ready' })
}

const isOf = (kind: string, message: unknown) =>
  typeof message === 'object' && message !== null && 'kind' in message && message.kind === kind
const isStop = (message: unknown): message is Stop => isOf('stop', message)
const isAlive = (message: unknown): message is Alive => isOf('alive', message)

function isRequest(message: unknown): message is Request {
  if (typeof message !== 'object' || message === null) return false
  const { id, name, page, key } = message as Record<string, unknown>
  return (
    typeof id === 'number' &&
    typeof name === 'string' &&
    [page, key].every((word) => word === undefined || typeof word === 'string')
  )
}
