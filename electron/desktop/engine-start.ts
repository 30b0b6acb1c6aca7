import { join } from 'node:path'
import { app, utilityProcess } from 'electron'
import type { Reply } from '../../shared/contract.ts'
import type { EngineProcess } from '../engine-process/keep-engine.ts'
import { underNode } from '../engine-process/under-node.ts'

/**
 * Starts the engine on a database file: as a utility process of Electron, or, where EVENFILM_ENGINE_NODE names a
 * Node, as a child under that Node (for an Electron whose own Node is too old for better-sqlite3). The engine and
 * better-sqlite3 stand outside a packaged archive, where an outside Node can read them as well.
 */
export function startEngine(databaseFile: string): EngineProcess {
  const folder = app.getAppPath().replace(/app\.asar$/, 'app.asar.unpacked')
  const file = join(folder, 'dist/engine.cjs')
  const node = process.env.EVENFILM_ENGINE_NODE
  // What Node has made of the engine's modules is kept for the next start.
  const env = { NODE_COMPILE_CACHE: join(app.getPath('userData'), 'compiled'), ...process.env }
  return node ? underNode(node, file, databaseFile, env) : underElectron(file, databaseFile, env)
}

function underElectron(file: string, databaseFile: string, env: NodeJS.ProcessEnv): EngineProcess {
  const child = utilityProcess.fork(file, [databaseFile], {
    env,
    serviceName: 'Evenfilm engine',
    stdio: 'inherit',
  })
  return {
    send: (message) => child.postMessage(message),
    onMessage: (handler) => child.on('message', (message: Reply) => handler(message)),
    onExit: (handler) => child.once('exit', handler),
    // Electron's own way is to ask, which one that does not answer does not hear.
    kill: () => {
      if (child.pid !== undefined) process.kill(child.pid, 'SIGKILL')
    },
  }
}
