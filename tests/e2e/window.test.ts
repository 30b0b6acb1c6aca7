import { spawn } from 'node:child_process'
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { ElectronApplication, Page } from 'playwright-core'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { startEngine } from '../../electron/engine/engine.ts'
import { answerBoxes, boxesShown } from './helpers/boxes.ts'
import { electronFile, type LaunchOptions, launchElectron, root } from './helpers/doors.ts'

type Bridge = {
  call(name: string, args: unknown): Promise<{ ok: boolean; value: unknown }>
  on(event: string, then: () => unknown): void
  saveFile(file: unknown): Promise<unknown>
}
type WithBridge = { evenfilm: Bridge }

describe.skipIf(electronFile === '')('the desktop window', () => {
  let folder: string
  let running: ElectronApplication[]

  const launch = async (options: LaunchOptions = {}) => {
    const launched = await launchElectron(folder, options)
    running.push(launched.app)
    return launched
  }
  const close = async (app: ElectronApplication) => {
    await app.close()
    running = running.filter((other) => other !== app)
  }
  /** Closes the window as a person does, and waits for the end of the program. */
  const closeWindow = async (app: ElectronApplication) => {
    const ended = new Promise((done) => app.process().once('exit', done))
    await app.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows()[0]?.close())
    await ended
    running = []
  }
  const studyNames = async (databaseFile: string) => {
    const engine = await startEngine({ databaseFile })
    const list = (await engine.call('studies.list', {})) as { ok: true; value: { name: string }[] }
    await engine.close()
    return list.value.map(({ name }) => name)
  }
  const bounds = (app: ElectronApplication) =>
    app.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows()[0]?.getBounds())
  const shown = (page: Page) => page.getByRole('navigation').first().waitFor()

  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'evenfilm-window-'))
    running = []
  })
  afterEach(async () => {
    for (const app of running) await app.close()
    rmSync(folder, { recursive: true, force: true })
  })

  test('keeps its database in the program’s own folder, or in the file that is named', async () => {
    const own = await launch()
    await shown(own.page)
    expect(existsSync(join(folder, 'profile', 'evenfilm.db'))).toBe(true)
    await close(own.app)

    const named = await launch({ more: ['--data', join(folder, 'named.db')] })
    await shown(named.page)
    expect(existsSync(join(folder, 'named.db'))).toBe(true)
  })

  test('opens where it stood, and back on the display where that has gone', async () => {
    const first = await launch()
    await first.app.evaluate(({ BrowserWindow }) =>
      BrowserWindow.getAllWindows()[0]?.setBounds({ x: 60, y: 50, width: 1000, height: 700 }),
    )
    await expect.poll(() => bounds(first.app)).toEqual({ x: 60, y: 50, width: 1000, height: 700 })
    await close(first.app)

    const second = await launch()
    expect(await bounds(second.app)).toEqual({ x: 60, y: 50, width: 1000, height: 700 })
    await close(second.app)

    const remembered = join(folder, 'profile', 'window.json')
    expect(JSON.parse(readFileSync(remembered, 'utf8')).bounds).toMatchObject({ x: 60, y: 50 })
    writeFileSync(remembered, '{ "bounds": { "x": -9000, "y": 50, "width": 1000, "height": 700 } }')
    const third = await launch()
    expect((await bounds(third.app))?.x).toBeGreaterThanOrEqual(0)
  })

  test('a second start brings the first window to the front and ends', async () => {
    const { app, page } = await launch()
    await shown(page)
    await app.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows()[0]?.hide())
    const second = spawn(electronFile, ['--no-sandbox', `--user-data-dir=${join(folder, 'profile')}`, root], {
      stdio: 'ignore',
    })
    const code = await new Promise((done) => second.on('exit', done))
    expect(code).toBe(0)
    await expect
      .poll(() =>
        app.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows().map((it) => it.isVisible())),
      )
      .toEqual([true])
  })

  test('waits, when it closes, for what is being typed to be handed over', async () => {
    const file = join(folder, 'named.db')
    const { app, page } = await launch({ more: ['--data', file] })
    await shown(page)
    await page.evaluate(() => {
      const { evenfilm } = window as unknown as WithBridge
      evenfilm.on('closing', async () => {
        await new Promise((done) => setTimeout(done, 300))
        await evenfilm.call('studies.create', { study: { name: 'At the last moment' } })
      })
    })
    await closeWindow(app)
    expect(await studyNames(file)).toEqual(['At the last moment'])
  })

  test('closes all the same where the page does not answer', async () => {
    const { app, page } = await launch()
    await shown(page)
    await page.evaluate(() => {
      const { evenfilm } = window as unknown as WithBridge
      evenfilm.on('closing', () => new Promise(() => {}))
    })
    const started = performance.now()
    await closeWindow(app)
    expect(performance.now() - started).toBeGreaterThan(1900)
  })

  test('a page that has stopped is said to have stopped, and is loaded again on demand', async () => {
    const { app, page } = await launch()
    await shown(page)
    await answerBoxes(app, 0)
    await app.evaluate(({ BrowserWindow }) =>
      BrowserWindow.getAllWindows()[0]?.webContents.forcefullyCrashRenderer(),
    )
    await expect.poll(() => boxesShown(app)).toEqual([expect.stringContaining('has stopped')])
    const title = () =>
      app.evaluate(({ BrowserWindow }) =>
        BrowserWindow.getAllWindows()[0]?.webContents.executeJavaScript(
          'document.querySelector("nav") !== null',
        ),
      )
    await expect.poll(() => title().catch(() => false), { timeout: 10_000 }).toBe(true)
  })

  test('saves a text where the person says, and remembers the folder', async () => {
    const { app, page } = await launch()
    await shown(page)
    const save = (fileName: unknown, text: unknown) =>
      page.evaluate((file) => (window as unknown as WithBridge).evenfilm.saveFile(file), { fileName, text })
    const choose = (filePath: string | null) =>
      app.evaluate(({ dialog }, filePath) => {
        dialog.showSaveDialog = (async (...args: unknown[]) => {
          ;(globalThis as { suggested?: string }).suggested = (
            args.at(-1) as { defaultPath: string }
          ).defaultPath
          return { canceled: filePath === null, filePath: filePath ?? undefined }
        }) as typeof dialog.showSaveDialog
      }, filePath)
    const suggested = () => app.evaluate(() => (globalThis as { suggested?: string }).suggested)

    await choose(null)
    expect(await save('../runs.csv', 'a')).toEqual({ ok: true, value: { saved: null } })
    await choose(join(folder, 'runs.csv'))
    expect(await save('runs.csv', 'thickness (nm)\r\n1012.5\r\n')).toEqual({
      ok: true,
      value: { saved: join(folder, 'runs.csv') },
    })
    expect(readFileSync(join(folder, 'runs.csv'), 'utf8')).toBe('thickness (nm)\r\n1012.5\r\n')
    await choose(join(folder, 'none', 'runs.csv'))
    expect(await save('../../readings.csv', 'a')).toMatchObject({
      ok: false,
      problems: [{ code: 'notSaved' }],
    })
    expect(await suggested()).toBe(join(folder, 'readings.csv'))
    expect(await save(7, 'a')).toMatchObject({ ok: false, problems: [{ code: 'badCall' }] })
  })
})
