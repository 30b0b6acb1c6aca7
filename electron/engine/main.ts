import { startEngine } from './engine.ts'
import { portToParent, serveOnPort } from './port.ts'

/**
 * The engine as a process of its own, started by Electron's utilityProcess.fork or by child_process.fork.
 * The database file is its first argument, or stands in EVENFILM_DATABASE.
 */
const port = portToParent()
const databaseFile = process.argv[2] ?? process.env.EVENFILM_DATABASE

if (!port || !databaseFile) {
  console.error('The engine is started by the window: with a message port, and with the database file named.')
  process.exitCode = 2
} else {
  // Nothing may be answered after a defect that nobody has looked at.
  process.on('unhandledRejection', (error) => {
    console.error(error)
    process.exit(70)
  })
  serveOnPort(port, (tell) => startEngine({ databaseFile, keepBackups: true, ...tell }))
}
