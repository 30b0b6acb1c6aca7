import { join, resolve } from 'node:path'
import { app, BrowserWindow, Menu, session } from 'electron'
import { dataFileName } from '../data-file.ts'
import { type KeptEngine, keepEngine } from '../engine-process/keep-engine.ts'
import { logState } from '../engine-process/log-state.ts'
import { answerBridge, pageOf } from './bridge.ts'
import { startEngine } from './engine-start.ts'
import { setMenu } from './menu.ts'
import { keepOpenedStudy } from './opened-study.ts'
import { ownFolder } from './own-folder.ts'
import { restrictContents, restrictSession } from './permissions.ts'
import { lockProfile } from './profile.ts'
import { registerScheme, servePage } from './protocol.ts'
import { dataOption, studyFileAmong } from './start-words.ts'
import { openWindow } from './window.ts'

// As root with --no-sandbox, which Electron demands there, this would end every child process.
if (!app.commandLine.hasSwitch('no-sandbox')) app.enableSandbox()
registerScheme()
// Else Electron makes a menu of its own before ours.
Menu.setApplicationMenu(null)

/** The folder beside the program, on a stick say: nothing is then kept on the computer itself. */
const own = app.isPackaged ? ownFolder(process) : null
const opened = keepOpenedStudy()
const studyFile = studyFileAmong(process.argv.slice(1), process.cwd())
if (studyFile !== null) opened.put(studyFile)

// A second start hands its study's file to the first: Chromium changes the order of its other words.
if (lockProfile(own, { studyFile })) {
  app.on('second-instance', (_event, _words, _folder, more) => {
    const { studyFile } = (more ?? {}) as { studyFile?: unknown }
    if (typeof studyFile === 'string') open(studyFile)
    toFront(BrowserWindow.getAllWindows()[0])
  })
  app.on('open-file', (event, path) => {
    event.preventDefault()
    open(path)
  })
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
  const databaseFile = resolve(dataOption(process.argv) ?? join(own ?? app.getPath('userData'), dataFileName))
  const engine = keepEngineOn(databaseFile)
  restrictSession(session.defaultSession)
  servePage(session.defaultSession)
  answerBridge(engine, opened, rememberedFile)
  const window = openWindow(rememberedFile)
  setMenu(() => openWindow(rememberedFile))
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

/** Shows a study's file in the window, or in the one that is still to open. */
function open(studyFile: string): void {
  opened.put(studyFile)
  BrowserWindow.getAllWindows()[0]?.webContents.send('evenfilm:studyFile')
}

function toFront(window: BrowserWindow | undefined): void {
  if (!window) return
  if (window.isMinimized()) window.restore()
  window.show()
  window.focus()
}
