import { existsSync, writeFileSync } from 'node:fs'
import type { Question } from '../../../electron/engine/compute/computations.ts'
import { startWorkers } from '../../../electron/engine/compute/workers.ts'
import { portToParent, serveOnPort } from '../../../electron/engine/port.ts'
import { good } from '../../../shared/problem.ts'

/** An engine without a store, for an Electron that cannot load better-sqlite3: it repeats what it is told, and computes. */
const port = portToParent()
const workers = startWorkers()
const databaseFile = process.argv[2] ?? ''

if (port) {
  serveOnPort(port, async ({ onChanged }) => ({
    async call(name, args) {
      if (name === 'end') process.exit(9)
      if (name === 'hang') {
        // Only the first time: what is sent again to the next engine is answered.
        if (existsSync(`${databaseFile}.hung`)) return good('once')
        writeFileSync(`${databaseFile}.hung`, '')
        for (;;);
      }
      if (name === 'fail') throw new Error('as asked')
      if (name === 'compute') return workers.compute(args as Question)
      // The page reads again at every change: a change for each of its calls would never end.
      if (name === 'repeat') onChanged?.()
      return good({ name, args, databaseFile, utility: 'parentPort' in process })
    },
    async close() {
      writeFileSync(`${databaseFile}.closed`, 'gently')
    },
  }))
}
