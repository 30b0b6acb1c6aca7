import { join, resolve } from 'node:path'
import { app, BrowserWindow, session } from 'electron'
import { dataFileName } from '../data-file.ts'
import { type KeptEngine, keepEngine } from '../engine-process/keep-engine.ts'
import { logState } from '../engine-process/log-state.ts'
import { answerBridge, pageOf } from './bridge.ts'
import { startEngine } from './engine-start.ts'
import { setMenu } from './menu.ts'
import { restrictContents, restrictSession } from './permissions.ts'
import { registerScheme, servePage } from './protocol.ts'
import { openWindow } from './window.ts'

// As root with --no-sandbox, which Electron demands there, this would end every child process.
if (!app.commandLine.hasSwitch('no-sandbox')) app.enableSandbox()
registerScheme()

if (app.requestSingleInstanceLock()) {
  app.on('second-instance', () => toFront(BrowserWindow.getAllWindows()[0]))
  app.on('web-contents-created', (_event, contents) => restrictContents(contents))
  app.on('child-process-gone', (_event, { type, reason, exitCode, name }) => {
    if (reason !== 'clean-exit') console.error(`${name ?? type} has ended (${reason}, ${exitCode})`)
  })
  app.on('window-all-closed', () => app.quit())
  app.whenReady().then(start)
} else {
  app.quit()
}

function start(): void {
  const rememberedFile = join(app.getPath('userData'), 'window.json')
  const databaseFile = resolve(dataOption(process.argv) ?? join(app.getPath('userData'), dataFileName))
  const engine = keepEngineOn(databaseFile)
  restrictSession(session.defaultSession)
  servePage(session.defaultSession)
  answerBridge(engine, rememberedFile)
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

/** Keeps an engine on the database, and tells every page how it stands. */
function keepEngineOn(databaseFile: string): KeptEngine {
  const tellAll = (channel: string, ...words: unknown[]) => {
    for (const { webContents } of BrowserWindow.getAllWindows()) webContents.send(channel, ...words)
  }
  return keepEngine(() => startEngine(databaseFile), {
    onChanged: () => tellAll('evenfilm:changed'),
    onProgress: (progress) => {
      const asked = BrowserWindow.getAllWindows().find(
        ({ webContents }) => pageOf(webContents) === progress.page,
      )
      asked?.webContents.send('evenfilm:progress', progress)
    },
    onState: (state) => {
      logState(state)
      tellAll('evenfilm:engine', state)
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
