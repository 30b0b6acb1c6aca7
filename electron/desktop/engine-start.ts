import { fork } from 'node:child_process'
import { join } from 'node:path'
import { app, utilityProcess } from 'electron'
import type { Reply } from '../../shared/contract.ts'
import {
  type EngineClient,
  type EngineClientOptions,
  type EngineProcess,
  engineClient,
} from './engine-client.ts'

/**
 * Starts the engine on a database file: as a utility process of Electron, or, where EVENFILM_ENGINE_NODE names a
 * Node, as a child under that Node (for an Electron whose own Node is too old for better-sqlite3). The engine and
 * better-sqlite3 stand outside a packaged archive, where an outside Node can read them as well.
 */
export function startEngine(databaseFile: string, options: EngineClientOptions): EngineClient {
  const folder = app.getAppPath().replace(/app\.asar$/, 'app.asar.unpacked')
  const file = join(folder, 'dist/engine.cjs')
  const node = process.env.EVENFILM_ENGINE_NODE
  return engineClient(node ? underNode(node, file, databaseFile) : underElectron(file, databaseFile), options)
}

function underElectron(file: string, databaseFile: string): EngineProcess {
  const child = utilityProcess.fork(file, [databaseFile], {
    serviceName: 'Evenfilm engine',
    stdio: 'inherit',
  })
  return {
    send: (message) => child.postMessage(message),
    onMessage: (handler) => child.on('message', (message: Reply) => handler(message)),
    onExit: (handler) => child.once('exit', handler),
    kill: () => child.kill(),
  }
}

function underNode(node: string, file: string, databaseFile: string): EngineProcess {
  const child = fork(file, [databaseFile], { execPath: node, execArgv: [] })
  return {
    send: (message) => child.send(message),
    onMessage: (handler) => child.on('message', (message) => handler(message as Reply)),
    onExit: (handler) => {
      child.once('exit', handler)
      child.on('error', (error) => {
        console.error(`The engine under ${node}: ${error.message}`)
        if (child.pid === undefined) handler(127)
      })
    },
    kill: () => child.kill(),
  }
}
