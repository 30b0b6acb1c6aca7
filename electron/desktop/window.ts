import { join } from 'node:path'
import { app, BrowserWindow, dialog, ipcMain, screen } from 'electron'
import { isFromPage } from './bridge.ts'
import { asRectangle, placeWindow } from './place.ts'
import { pageAddress } from './protocol.ts'
import { recall, remember } from './remembered.ts'

/** How long a closing window waits for the page to hand over what is being typed, ms. */
const closingTime = 2000

/** Opens the program's window where it stood last. */
export function openWindow(rememberedFile: string): BrowserWindow {
  const kept = recall(rememberedFile)
  const main = screen.getPrimaryDisplay()
  const displays = [main, ...screen.getAllDisplays().filter((display) => display.id !== main.id)]
  const window = new BrowserWindow({
    ...placeWindow(
      asRectangle(kept.bounds),
      displays.map((display) => display.workArea),
    ),
    minWidth: 640,
    minHeight: 480,
    show: false,
    title: 'Evenfilm',
    // Windows and macOS take it from the program itself.
    ...(process.platform === 'linux' ? { icon: join(app.getAppPath(), 'dist/icon.png') } : {}),
    // Before the first frame: no white flash under amber light.
    backgroundColor: '#000000',
    webPreferences: {
      preload: join(app.getAppPath(), 'dist/preload.cjs'),
      sandbox: true,
      contextIsolation: true,
      nodeIntegration: false,
      webviewTag: false,
      spellcheck: false,
    },
  })
  if (kept.maximized) window.maximize()
  window.once('ready-to-show', () => window.show())
  watch(window)
  closeGently(window, rememberedFile)
  window.loadURL(pageAddress)
  return window
}

/** Says what went wrong with the page, and offers to load it again. */
function watch(window: BrowserWindow): void {
  const offer = async (what: string, buttons: [string, string], then: () => void) => {
    console.error(what)
    if (window.isDestroyed()) return
    const message = { type: 'warning' as const, message: what, buttons, defaultId: 0, cancelId: 1 }
    const { response } = await dialog.showMessageBox(window, message)
    if (response === 0 && !window.isDestroyed()) then()
  }
  /** Set while a page that did not answer is ended: that is no news, and it is loaded again once it has. */
  let ending = false
  window.webContents.on('render-process-gone', (_event, { reason, exitCode }) => {
    if (ending) {
      ending = false
      return window.webContents.reload()
    }
    if (reason === 'clean-exit') return
    offer(
      `The page has stopped (${reason}, ${exitCode}). What was saved is kept.`,
      ['Load it again', 'Close'],
      () => window.webContents.reload(),
    )
  })
  window.on('unresponsive', () => {
    offer('The page does not answer.', ['Load it again', 'Wait'], () => {
      ending = true
      window.webContents.forcefullyCrashRenderer()
    })
  })
}

/** Lets the page hand over an open edit before the window closes, and keeps where the window stood. */
function closeGently(window: BrowserWindow, rememberedFile: string): void {
  let handedOver = false
  window.on('close', (event) => {
    remember(rememberedFile, { bounds: window.getNormalBounds(), maximized: window.isMaximized() })
    if (handedOver || window.webContents.isCrashed() || window.webContents.isLoading()) return
    event.preventDefault()
    const close = () => {
      handedOver = true
      stopWaiting()
      window.close()
    }
    const onClosed = (message: Electron.IpcMainEvent) => {
      if (message.sender === window.webContents && isFromPage(message.senderFrame)) close()
    }
    const stopWaiting = () => {
      clearTimeout(clock)
      ipcMain.off('evenfilm:closed', onClosed)
    }
    const clock = setTimeout(close, closingTime)
    ipcMain.on('evenfilm:closed', onClosed)
    // One that is destroyed meanwhile must not hear the answer of another: to ask it for its page is an error.
    window.once('closed', stopWaiting)
    window.webContents.send('evenfilm:closing')
  })
}
