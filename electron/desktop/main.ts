import { join, resolve } from 'node:path'
import { app, BrowserWindow, dialog, session } from 'electron'
import { dataFileName } from '../data-file.ts'
import { answerBridge, pageOf } from './bridge.ts'
import type { EngineClient } from './engine-client.ts'
import { startEngine } from './engine-start.ts'
import { setMenu } from './menu.ts'
import { restrictContents, restrictSession } from './permissions.ts'
import { registerScheme, servePage } from './protocol.ts'
import { openWindow } from './window.ts'

/** Time in which the end of the engine is taken for part of the end of the program, ms. */
const endTogether = 500

let engine: EngineClient
let quitting = false

// As root with --no-sandbox, which Electron demands there, this would end every child process.
if (!app.commandLine.hasSwitch('no-sandbox')) app.enableSandbox()
registerScheme()

if (app.requestSingleInstanceLock()) {
  app.on('second-instance', () => toFront(BrowserWindow.getAllWindows()[0]))
  app.on('web-contents-created', (_event, contents) => restrictContents(contents))
  app.on('child-process-gone', (_event, { type, reason, exitCode, name }) => {
    if (reason !== 'clean-exit') console.error(`${name ?? type} has ended (${reason}, ${exitCode})`)
  })
  app.on('before-quit', () => {
    quitting = true
  })
  app.on('window-all-closed', () => app.quit())
  app.whenReady().then(start)
} else {
  app.quit()
}

function start(): void {
  const rememberedFile = join(app.getPath('userData'), 'window.json')
  const databaseFile = resolve(dataOption(process.argv) ?? join(app.getPath('userData'), dataFileName))
  engine = openEngine(databaseFile)
  restrictSession(session.defaultSession)
  servePage(session.defaultSession)
  answerBridge(() => engine, rememberedFile)
  setMenu(() => openWindow(rememberedFile))
  const window = openWindow(rememberedFile)
  window.webContents.once('did-finish-load', () => process.send?.('ready'))

  let engineStopped = false
  app.on('will-quit', async (event) => {
    if (engineStopped) return
    event.preventDefault()
    await engine.stop()
    engineStopped = true
    app.quit()
  })
}

/** Starts the engine, and offers to start it again should it end. */
function openEngine(databaseFile: string): EngineClient {
  return startEngine(databaseFile, {
    onChanged: () => {
      for (const window of BrowserWindow.getAllWindows()) window.webContents.send('evenfilm:changed')
    },
    onProgress: (progress) => {
      const asked = BrowserWindow.getAllWindows().find(
        ({ webContents }) => pageOf(webContents) === progress.page,
      )
      asked?.webContents.send('evenfilm:progress', progress)
    },
    onGone: async (code) => {
      // Ctrl+C in a terminal ends both processes, in whatever order.
      await new Promise((done) => setTimeout(done, endTogether))
      if (quitting) return
      const how = code === null ? 'by a signal' : `exit code ${code}`
      const message = `The part of the program that keeps the data has ended (${how}). What was saved is kept.`
      console.error(message)
      const buttons = ['Start it again', 'Quit']
      const { response } = await dialog.showMessageBox({
        type: 'error',
        message,
        buttons,
        defaultId: 0,
        cancelId: 1,
      })
      if (response !== 0) return app.quit()
      engine = openEngine(databaseFile)
      for (const window of BrowserWindow.getAllWindows()) window.webContents.reload()
    },
  })
}

function toFront(window: BrowserWindow | undefined): void {
  if (!window) return
  if (window.isMinimized()) window.restore()
  window.show()
  window.focus()
}

/** The value of `--data FILE` or `--data=FILE` among the words that the program was started with. */
function dataOption(words: string[]): string | undefined {
  const joined = words.find((word) => word.startsWith('--data='))
  if (joined) return joined.slice('--data='.length)
  const place = words.indexOf('--data')
  return place < 0 ? undefined : words[place + 1]
}
