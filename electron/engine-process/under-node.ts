import { fork } from 'node:child_process'
import type { Reply } from '../../shared/contract.ts'
import type { EngineProcess } from './keep-engine.ts'

/** Starts the engine in a file as a child of this process, under the given Node. */
export function underNode(
  node: string,
  file: string,
  databaseFile: string,
  env = process.env,
): EngineProcess {
  const child = fork(file, [databaseFile], { execPath: node, execArgv: [], env })
  return {
    // A child that has just ended is heard of by its exit; the message is sent again to the next one.
    send: (message) => child.connected && child.send(message, () => {}),
    onMessage: (handler) => child.on('message', (message) => handler(message as Reply)),
    onExit: (handler) => {
      child.once('exit', handler)
      child.on('error', (error) => {
        console.error(`The engine under ${node}: ${error.message}`)
        if (child.pid === undefined) handler(127)
      })
    },
    kill: () => child.kill('SIGKILL'),
  }
}
