import { mkdtemp, rm, stat } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import {
  type Browser,
  type BrowserContext,
  chromium,
  type ElectronApplication,
  _electron as electron,
  type Page,
} from 'playwright-core'
import { expect } from 'vitest'
import { serveInBrowser } from '../../../electron/browser.ts'

export const root = resolve(import.meta.dirname, '../../..')

/** A door that stands open on a database of its own; closing it removes the folder with the database. */
export type OpenDoor = {
  page: Page
  /** A folder that goes away with the door, for files that a test saves. */
  folder: string
  dataFile: string
  /** Chooses where the next file that the page saves goes, and gives its path once it is written. */
  saveNextFile(): Promise<{ path: Promise<string> }>
  /** A second page on the same database. */
  another(): Promise<Page>
  /** Ends the program behind the page, which stays open. */
  leave(): Promise<void>
  close(): Promise<void>
}

export type DoorOptions = {
  /** Size of the page; 1280 × 720 is what every screen must do with. */
  size?: { width: number; height: number }
  /** An existing folder whose evenfilm.db is opened; it is left there. */
  folder?: string
  /** Language of the system as a browser tells it; the machine's own unless given. A window has the machine's. */
  locale?: string
  /** Seconds without a sign of life after which a browser's door says that the engine does not answer. */
  silence?: number
}

export type Door = { name: string; missing: boolean; open(options?: DoorOptions): Promise<OpenDoor> }

const browserFile = process.env.EVENFILM_TEST_BROWSER ?? ''
export const electronFile = process.env.EVENFILM_TEST_ELECTRON ?? ''

const usualSize = { width: 1280, height: 720 }

async function ownFolder(options: DoorOptions) {
  const folder = options.folder ?? (await mkdtemp(join(tmpdir(), 'evenfilm-door-')))
  const remove = async () => {
    if (!options.folder) await rm(folder, { recursive: true, force: true })
  }
  return { folder, dataFile: join(folder, 'evenfilm.db'), remove }
}

let chromiumHere: Promise<Browser> | null = null

/** One Chromium for all files of a worker; the driver ends it with the worker. */
function sharedChromium(): Promise<Browser> {
  chromiumHere ??= chromium.launch({
    executablePath: browserFile,
    args: ['--no-sandbox', '--disable-quic', '--disable-background-networking'],
  })
  return chromiumHere
}

const contexts = new Map<string, Promise<BrowserContext>>()

/**
 * One context for all doors of a worker and language: to open one takes more than the page itself. Doors are apart in it,
 * since each has a port of its own. A blank page keeps its window.
 */
function sharedContext(locale?: string): Promise<BrowserContext> {
  const made =
    contexts.get(locale ?? '') ??
    sharedChromium().then(async (browser) => {
      const context = await browser.newContext({
        viewport: usualSize,
        ...(locale === undefined ? {} : { locale }),
      })
      await context.newPage()
      return context
    })
  contexts.set(locale ?? '', made)
  return made
}

/** The page in a browser, served on loopback. */
const inBrowser: Door = {
  name: 'browser',
  missing: browserFile === '',
  async open(options = {}) {
    const { folder, dataFile, remove } = await ownFolder(options)
    const served = await serveInBrowser({
      data: dataFile,
      ...(options.silence === undefined ? {} : { silence: options.silence }),
    })
    if (!served.ok) throw new Error(served.problems[0]?.message)
    const context = await sharedContext(options.locale)
    const newPage = async (address: string) => {
      const page = await context.newPage()
      if (options.size) await page.setViewportSize(options.size)
      await page.goto(address)
      return page
    }
    const home = new URL('/', served.value.address).href
    const page = await newPage(served.value.address)
    await page.waitForURL(home)
    return {
      page,
      folder,
      dataFile,
      async saveNextFile() {
        const path = page.waitForEvent('download').then(async (download) => {
          const file = join(folder, download.suggestedFilename())
          await download.saveAs(file)
          return file
        })
        return { path }
      },
      another: () => newPage(home),
      leave: () => served.value.close(),
      async close() {
        for (const each of context.pages().filter((one) => one.url().startsWith(home))) {
          // A later door may get the same port.
          await each.evaluate(() => localStorage.clear()).catch(() => {})
          await each.close()
        }
        await served.value.close()
        await remove()
      },
    }
  },
}

export type Launched = { app: ElectronApplication; page: Page }

export type LaunchOptions = {
  /** Words after the program's folder. */
  more?: string[]
  /** Added to the environment; undefined takes a variable out of it. */
  environment?: Record<string, string | undefined>
  /** Folder of the program; this checkout. */
  program?: string
}

/** Starts Electron on the built program; everything it keeps goes below the folder. */
export async function launchElectron(folder: string, options: LaunchOptions = {}): Promise<Launched> {
  const { more = [], environment = {}, program = root } = options
  const variables = Object.entries({ ...process.env, ...environment }).filter(
    ([, value]) => value !== undefined,
  )
  const start = () =>
    electron.launch({
      executablePath: electronFile,
      args: [
        '-r',
        join(import.meta.dirname, 'wait-for-driver.cjs'),
        '--no-sandbox',
        // The driver reads where to connect from the standard error, which a missing GPU or message bus would fill.
        '--disable-gpu',
        '--log-level=3',
        `--user-data-dir=${join(folder, 'profile')}`,
        program,
        ...more,
      ],
      env: Object.fromEntries(variables) as Record<string, string>,
    })
  // A driven Electron ends now and then (1 of 400) before the program has begun; then once more.
  const app = await start().catch(start)
  const page = await app.firstWindow()
  await page.waitForURL('evenfilm://app/**')
  return { app, page }
}

/** The page in its desktop window. */
const inWindow: Door = {
  name: 'desktop window',
  missing: electronFile === '',
  async open(options = {}) {
    const { folder, dataFile, remove } = await ownFolder(options)
    const { app, page } = await launchElectron(folder, { more: ['--data', dataFile] })
    const size = options.size ?? usualSize
    await app.evaluate(({ BrowserWindow }, { width, height }) => {
      BrowserWindow.getAllWindows()[0]?.setContentSize(width, height)
    }, size)
    return {
      page,
      folder,
      dataFile,
      async saveNextFile() {
        const { dialogAsked, file } = await answerSaveDialog(app, folder)
        // The file is written after the answer: it is there once it holds something.
        const written = async () => {
          await dialogAsked
          const path = await file()
          await expect
            .poll(
              () =>
                stat(path).then(
                  ({ size }) => size,
                  () => 0,
                ),
              { timeout: 10_000 },
            )
            .toBeGreaterThan(0)
          return path
        }
        return { path: written() }
      },
      async another() {
        const opened = app.waitForEvent('window')
        await app.evaluate(({ Menu }) => {
          const items = Menu.getApplicationMenu()?.items.flatMap((item) => item.submenu?.items ?? []) ?? []
          items.find((item) => item.label === 'New window')?.click()
        })
        const second = await opened
        await second.waitForURL('evenfilm://app/**')
        return second
      },
      leave: () => app.close(),
      async close() {
        // Now and then the driver never hears that a window has closed; how one closes is for window.test.ts.
        const clock = setTimeout(() => app.process().kill('SIGKILL'), 15_000)
        await app.close()
        clearTimeout(clock)
        await remove()
      },
    }
  },
}

/** Answers the next question where to save with the suggested name in the given folder. */
async function answerSaveDialog(app: ElectronApplication, folder: string) {
  await app.evaluate(({ dialog }, into) => {
    const kept = globalThis as typeof globalThis & { savedAs?: string }
    kept.savedAs = ''
    dialog.showSaveDialog = (async (...args: unknown[]) => {
      const { defaultPath } = args.at(-1) as { defaultPath: string }
      kept.savedAs = `${into}/${defaultPath.split(/[\\/]/).at(-1)}`
      return { canceled: false, filePath: kept.savedAs }
    }) as typeof dialog.showSaveDialog
  }, folder)
  const savedAs = () => app.evaluate(() => (globalThis as { savedAs?: string }).savedAs ?? '')
  const dialogAsked = (async () => {
    for (let tries = 0; tries < 1000; tries++) {
      if (await savedAs()) return
      await new Promise((done) => setTimeout(done, 50))
    }
    throw new Error('The page asked for no place to save.')
  })()
  return { dialogAsked, file: savedAs }
}

export const doors: Door[] = [inBrowser, inWindow]

/** The browser alone, and both doors in the long count: for what is the same page work as behind the other. */
export const browserFirst: readonly Door[] = process.env.EVENFILM_TEST_LONG ? doors : doors.slice(0, 1)

/** The same where it is the window that counts; the browser where there is no window. */
export const windowFirst: readonly Door[] =
  process.env.EVENFILM_TEST_LONG || inWindow.missing ? doors : doors.slice(1)
