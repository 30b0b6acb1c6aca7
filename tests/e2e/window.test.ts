import { spawn } from 'node:child_process'
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import type { ElectronApplication, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { startEngine } from '../../electron/engine/engine.ts'
import { answerBoxes, boxesShown } from './helpers/boxes.ts'
import { electronFile, type LaunchOptions, launchElectron, root } from './helpers/doors.ts'

type Bridge = {
  call(name: string, args: unknown): Promise<{ ok: boolean; value: unknown }>
  on(event: string, then: () => unknown): void
  saveFile(file: unknown): Promise<unknown>
}
type WithBridge = { evenfilm: Bridge }

const long = process.env.EVENFILM_TEST_LONG

/** The tests go on from one another: a start of Electron takes longer than most of them. */
describe.skipIf(electronFile === '')('the desktop window', () => {
  let folder: string
  let app: ElectronApplication
  let page: Page
  let running: ElectronApplication | null = null

  const launch = async (options: LaunchOptions = {}) => {
    const launched = await launchElectron(folder, options)
    ;({ app, page } = launched)
    running = app
    // Not by its role: it has none while a dialog lies over it.
    await page.locator('nav').first().waitFor()
  }
  const close = async () => {
    await running?.close()
    running = null
  }
  /** Closes the window as a person does, and waits for the end of the program. */
  const closeWindow = async () => {
    const ended = new Promise((done) => app.process().once('exit', done))
    await app.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows()[0]?.close())
    await ended
    running = null
  }
  const studyNames = async (databaseFile: string) => {
    const engine = await startEngine({ databaseFile })
    const list = (await engine.call('studies.list', {})) as { ok: true; value: { name: string }[] }
    await engine.close()
    return list.value.map(({ name }) => name).sort()
  }
  /** The bytes of the file of a study that another database holds. */
  const studyFile = async (name: string) => {
    const engine = await startEngine({ databaseFile: join(folder, 'elsewhere.db') })
    type Made = { value: { studyId: string; bytes: string } }
    const { value } = (await engine.call('studies.create', { study: { name } })) as Made
    const file = (await engine.call('studies.file', { studyId: value.studyId })) as Made
    await engine.close()
    return Buffer.from(file.value.bytes, 'base64')
  }
  const bounds = () => app.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows()[0]?.getBounds())

  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'evenfilm-window-'))
  })
  afterAll(async () => {
    await close()
    rmSync(folder, { recursive: true, force: true })
  })

  test('keeps its database in the program’s own folder', async () => {
    // Not where the tests keep theirs.
    await launch({ environment: { NODE_COMPILE_CACHE: undefined } })
    expect(existsSync(join(folder, 'profile', 'evenfilm.db'))).toBe(true)
  })

  test('saves a text where the person says, and remembers the folder', async () => {
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
      problems: [{ code: 'cannotWrite' }],
    })
    expect(await suggested()).toBe(join(folder, 'readings.csv'))
    expect(await save(7, 'a')).toMatchObject({ ok: false, problems: [{ code: 'badCall' }] })
  })

  test('a second start brings the first window to the front, hands it a study’s file, and ends', async () => {
    await app.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows()[0]?.hide())
    writeFileSync(join(folder, 'hostile.evenfilm'), 'SELECT 1; -- no study')
    const second = spawn(
      electronFile,
      ['--no-sandbox', `--user-data-dir=${join(folder, 'profile')}`, root, 'hostile.evenfilm'],
      { stdio: 'ignore', cwd: folder },
    )
    const code = await new Promise((done) => second.on('exit', done))
    expect(code).toBe(0)
    // It is looked into as any chosen file is: by the engine, which refuses this one.
    const dialog = page.getByRole('dialog', { name: 'Bring in a study’s file' })
    await dialog.getByText(/‘hostile.evenfilm’ is no file of a study/).waitFor()
    // macOS tells of it by an event. A file that cannot be read is said so over what is open.
    const held = await app.evaluate(
      ({ app: program }, path) => {
        let held = false
        program.emit('open-file', { preventDefault: () => (held = true) }, path)
        return held
      },
      join(folder, 'gone.evenfilm'),
    )
    expect(held).toBe(true)
    await page
      .getByText(/gone.evenfilm cannot be read: there is no such file/)
      .last()
      .waitFor()
    await page.keyboard.press('Escape')
    await expect
      .poll(() =>
        app.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows().map((it) => it.isVisible())),
      )
      .toEqual([true])
  })

  test('a page that has stopped is said to have stopped, and is loaded again on demand', async () => {
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

  test('a page that does not answer is said not to, and is loaded again on demand', async () => {
    await answerBoxes(app, 0)
    const loaded = await app.evaluate(async ({ BrowserWindow }) => {
      const window = BrowserWindow.getAllWindows()[0] as Electron.BrowserWindow
      const again = new Promise((done) => window.webContents.once('did-finish-load', () => done(true)))
      window.emit('unresponsive')
      return again
    })
    expect(loaded).toBe(true)
    expect(await boxesShown(app)).toEqual([expect.stringContaining('does not answer')])
  })

  test('opens where it stood, on the database that is named', async () => {
    const place = { x: 60, y: 50, width: 1000, height: 700 }
    await app.evaluate(({ BrowserWindow }, to) => BrowserWindow.getAllWindows()[0]?.setBounds(to), place)
    await expect.poll(bounds).toEqual(place)
    await close()
    // An engine under another Node than Electron's own has left there what it compiled.
    if (process.env.EVENFILM_ENGINE_NODE)
      expect(readdirSync(join(folder, 'profile', 'compiled'))).toHaveLength(1)
    const study = join(folder, 'Opened.evenfilm')
    writeFileSync(study, await studyFile('From elsewhere'))
    await launch({ more: ['--data', join(folder, 'named.db'), pathToFileURL(study).href] })
    expect(await bounds()).toEqual(place)
    expect(existsSync(join(folder, 'named.db'))).toBe(true)
  })

  test('brings in the study whose file it was opened with, once a person has said so', async () => {
    const dialog = page.getByRole('dialog', { name: 'Bring in a study’s file' })
    await dialog.getByText('From elsewhere').waitFor()
    await dialog.getByRole('button', { name: 'Bring it in' }).click()
    await page.getByText('0 runs and 0 readings came in.').first().waitFor()
    // Taken once: a page that is loaded again does not come back to it.
    await page.reload()
    await page.getByRole('navigation').first().waitFor()
    await page.waitForTimeout(300)
    expect(await dialog.count()).toBe(0)
  })

  test('waits, when it closes, for what is being typed to be handed over', async () => {
    await page.evaluate(() => {
      const { evenfilm } = window as unknown as WithBridge
      evenfilm.on('closing', async () => {
        await new Promise((done) => setTimeout(done, 300))
        await evenfilm.call('studies.create', { study: { name: 'At the last moment' } })
      })
    })
    await closeWindow()
    expect(await studyNames(join(folder, 'named.db'))).toEqual(['At the last moment', 'From elsewhere'])
  })

  test.runIf(long)('opens back on the display where the place it stood in has gone', async () => {
    const remembered = join(folder, 'profile', 'window.json')
    expect(JSON.parse(readFileSync(remembered, 'utf8')).bounds).toMatchObject({ x: 60, y: 50 })
    writeFileSync(remembered, '{ "bounds": { "x": -9000, "y": 50, "width": 1000, "height": 700 } }')
    await launch()
    expect((await bounds())?.x).toBeGreaterThanOrEqual(0)
  })

  test.runIf(long)('closes all the same where the page does not answer', async () => {
    await page.evaluate(() => {
      const { evenfilm } = window as unknown as WithBridge
      evenfilm.on('closing', () => new Promise(() => {}))
    })
    const started = performance.now()
    await closeWindow()
    expect(performance.now() - started).toBeGreaterThan(1900)
  })
})
