import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import {
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join, relative } from 'node:path'
import { FuseState, FuseV1Options, FuseVersion, flipFuses, getCurrentFuseWire } from '@electron/fuses'
import { Arch, build, Platform } from 'electron-builder'
import { _electron as electron } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
// @ts-expect-error: build/ is plain JavaScript
import packaging from '../../build/packaging.js'
import type { Run } from '../../shared/contract/things.ts'
import { electronFile, root } from '../e2e/helpers/doors.ts'
import { mouse } from '../e2e/helpers/hands.ts'
import { callerOn, complaintsOf } from '../e2e/helpers/study.ts'

const { listPackage } = createRequire(createRequire(import.meta.url).resolve('app-builder-lib'))(
  '@electron/asar',
) as { listPackage(archive: string): string[] }

/** Asks the page of a program that was started with a debugging port; Node's inspector is switched off in it. */
async function evaluate(port: number, expression: string): Promise<unknown> {
  const targets = (await (await fetch(`http://127.0.0.1:${port}/json`)).json()) as {
    type: string
    webSocketDebuggerUrl: string
  }[]
  const page = targets.find(({ type }) => type === 'page')
  if (!page) throw new Error('There is no page yet.')
  const socket = new WebSocket(page.webSocketDebuggerUrl)
  await new Promise((done, fail) => {
    socket.onopen = done
    socket.onerror = fail
  })
  const params = { expression, awaitPromise: true, returnByValue: true }
  socket.send(JSON.stringify({ id: 1, method: 'Runtime.evaluate', params }))
  const message = await new Promise<MessageEvent>((done) => {
    socket.onmessage = done
  })
  socket.close()
  return JSON.parse(String(message.data)).result.result.value
}

/** Everything below a folder, as paths from it. */
const below = (folder: string) => readdirSync(folder, { recursive: true, encoding: 'utf8' }).sort()
const filesBelow = (folder: string) =>
  below(folder).filter((name) => !lstatSync(join(folder, name)).isDirectory())
/** MB of all files below a folder. */
const megabytes = (folder: string) =>
  filesBelow(folder).reduce((sum, name) => sum + lstatSync(join(folder, name)).size, 0) / 1e6

/** What a packaged folder may hold, and nothing else. */
const ofElectron =
  /^(LICENSE\.electron\.txt|LICENSES\.chromium\.html|chrome-sandbox|chrome_crashpad_handler|[\w-]+\.(pak|bin|dat)|lib[\w-]+\.so(\.1)?|vk_swiftshader_icd\.json|version|\.complete|locales\/[\w-]+\.pak)$/
const ofProgram = [
  /^evenfilm$/,
  /^resources\/(app\.asar|LICENSE\.txt|LICENCES\.txt|apparmor-profile)$/,
  /^resources\/app\.asar\.unpacked\/dist\/(engine|worker)\.cjs$/,
  /^resources\/app\.asar\.unpacked\/node_modules\/better-sqlite3\/(LICENSE|package\.json|lib\/[\w/-]+\.js|prebuilds\/linux-x64\.node)$/,
]
const inArchive = [
  /^package\.json$/,
  /^dist\/((main|preload|engine|worker)\.cjs|icon\.png|page\/(index\.html|icon\.svg|assets\/[\w-]+\.(js|css)))$/,
  /^node_modules\/better-sqlite3\/(LICENSE|package\.json|lib\/[\w/-]+\.js|prebuilds\/linux-x64\.node)$/,
]

const withDriver = { [FuseV1Options.EnableNodeCliInspectArguments]: true }

describe.skipIf(electronFile === '' || process.platform !== 'linux')('the packaged program', () => {
  const port = 20_000 + (process.pid % 20_000)
  let folder: string
  let program: string
  /** What the maker of a deb is told. */
  let deb: string[]
  let entries: string
  let child: ChildProcess | null = null

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'evenfilm-packaged-'))
    await build({
      projectDir: root,
      targets: Platform.LINUX.createTarget(['deb'], Arch.x64),
      config: { ...packaging, directories: { ...packaging.directories, output: folder } },
      publish: 'never',
      // Its last step needs a tool that is fetched from outside: it is left out, with what it would be told looked at.
      effectiveOptionComputed: async ([told, desktop]: [string[], string]) => {
        deb = told
        const type = told.find((word) => word.includes('/share/mime/'))?.split('=')[0] ?? ''
        entries = readFileSync(desktop, 'utf8') + readFileSync(type, 'utf8')
        return true
      },
    })
    program = join(folder, 'linux-unpacked')
  }, 300_000)
  afterAll(() => {
    child?.kill('SIGKILL')
    // The program's engine ends a moment after it, and still writes into the folder.
    rmSync(folder, { recursive: true, force: true, maxRetries: 10, retryDelay: 200 })
  })

  test('holds the bundles in its archive, the engine and one database binary beside it, its licences, nothing else', () => {
    const files = filesBelow(program)
    const strange = files.filter((name) => ![ofElectron, ...ofProgram].some((may) => may.test(name)))
    expect(strange).toEqual([])
    const packed = listPackage(join(program, 'resources/app.asar')).map((name) => name.slice(1))
    const within = packed.filter((name) => !packed.some((other) => other.startsWith(`${name}/`)))
    expect(within.filter((name) => !inArchive.some((may) => may.test(name)))).toEqual([])
    expect(within).toEqual(expect.arrayContaining(['dist/main.cjs', 'dist/icon.png', 'dist/page/icon.svg']))
    expect(files).toEqual(
      expect.arrayContaining([
        'LICENSE.electron.txt',
        'LICENSES.chromium.html',
        'resources/LICENSE.txt',
        'resources/LICENCES.txt',
        'resources/app.asar.unpacked/node_modules/better-sqlite3/prebuilds/linux-x64.node',
      ]),
    )
    const own = lstatSync(join(program, 'resources/app.asar')).size / 1e6
    const beside = megabytes(join(program, 'resources/app.asar.unpacked'))
    console.log(
      `the packaged folder: ${megabytes(program).toFixed(0)} MB, of which ${own.toFixed(1)} MB the archive and ${beside.toFixed(1)} MB beside it`,
    )
    expect(own).toBeLessThan(5)
  })

  test('has its fuses set: it is no Node, takes no options of Node, loads only the archive', async () => {
    expect(await getCurrentFuseWire(join(program, 'evenfilm'))).toMatchObject({
      [FuseV1Options.RunAsNode]: FuseState.DISABLE,
      [FuseV1Options.EnableNodeOptionsEnvironmentVariable]: FuseState.DISABLE,
      [FuseV1Options.EnableNodeCliInspectArguments]: FuseState.DISABLE,
      [FuseV1Options.EnableCookieEncryption]: FuseState.DISABLE,
      [FuseV1Options.OnlyLoadAppFromAsar]: FuseState.ENABLE,
      [FuseV1Options.EnableEmbeddedAsarIntegrityValidation]: FuseState.ENABLE,
    })
  })

  test('is known to the desktop with its icon, and as what opens a study’s file', () => {
    for (const size of [16, 32, 48, 256, 512])
      expect(deb).toContainEqual(
        expect.stringContaining(
          `${size}x${size}.png=/usr/share/icons/hicolor/${size}x${size}/apps/evenfilm.png`,
        ),
      )
    expect(entries).toMatch(/^Exec=\/opt\/Evenfilm\/evenfilm %U$/m)
    expect(entries).toMatch(/^Icon=evenfilm$/m)
    expect(entries).toMatch(/^MimeType=application\/x-evenfilm-study;$/m)
    expect(entries).toMatch(/^StartupWMClass=evenfilm$/m)
    expect(entries).toContain('<glob pattern="*.evenfilm"/>')
  })

  test('runs from a folder that was moved, with its data beside it, and leaves nothing on the computer', async () => {
    const stick = join(folder, 'stick')
    const [home, runtime] = [join(folder, 'home'), join(folder, 'runtime')]
    for (const place of [stick, home, runtime]) mkdirSync(place)
    renameSync(program, join(stick, 'evenfilm'))
    program = join(stick, 'evenfilm')
    const data = join(program, 'evenfilm-data')
    mkdirSync(data)
    writeFileSync(join(folder, 'hostile.evenfilm'), 'no study')
    const { XDG_CONFIG_HOME, XDG_CACHE_HOME, XDG_DATA_HOME, ...environment } = process.env
    child = spawn(
      join(program, 'evenfilm'),
      ['--no-sandbox', `--remote-debugging-port=${port}`, 'hostile.evenfilm'],
      { stdio: 'ignore', cwd: folder, env: { ...environment, HOME: home, XDG_RUNTIME_DIR: runtime } },
    )
    const dialog = 'document.querySelector("nav") && document.querySelector("[role=dialog]")?.textContent'
    await expect
      .poll(() => evaluate(port, dialog).catch(() => ''), { timeout: 60_000 })
      .toContain('‘hostile.evenfilm’ is no file of a study')
    const about = await evaluate(port, 'window.evenfilm.call("application.about", {})')
    const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'))
    expect(about).toMatchObject({ value: { version, database: join(data, 'evenfilm.db') } })
    // A fit is computed on a thread, whose file lies beside the engine's.
    const fit = await evaluate(
      port,
      `window.evenfilm.call('studies.demo', {}).then(({ value: { studyId } }) =>
        window.evenfilm.call('fits.fit', { studyId, response: 'thickness', model: 'thickness ~ speed' }))`,
    )
    expect(fit).toMatchObject({
      ok: true,
      value: { fit: { terms: [{ term: 'constant' }, { term: 'speed' }] } },
    })
    const ended = once(child, 'exit')
    await evaluate(port, 'window.close()').catch(() => {})
    await ended
    expect(readdirSync(data)).toEqual(expect.arrayContaining(['evenfilm.db', 'window']))
    // The file system of a stick may know no symbolic links.
    expect(below(data).filter((name) => lstatSync(join(data, name)).isSymbolicLink())).toEqual([])
    // The system's own store of desktop settings is made by whatever shows a window.
    const left = [home, runtime].flatMap((place) =>
      filesBelow(place).map((name) => relative(folder, join(place, name))),
    )
    expect(left.filter((name) => !/\/dconf\/user$/.test(name))).toEqual([])
    expect(readdirSync(runtime).filter((name) => name.startsWith('evenfilm'))).toEqual([])
  })

  test('does the job from a new study to the next run, once a driver may take hold of it', async () => {
    await flipFuses(join(program, 'evenfilm'), { version: FuseVersion.V1, ...withDriver })
    const app = await electron.launch({
      executablePath: join(program, 'evenfilm'),
      args: ['--no-sandbox', '--disable-gpu', '--log-level=3', '--data', join(folder, 'job.db')],
    })
    const page = await app.firstWindow()
    await page.waitForURL('evenfilm://app/**')
    const complaints = complaintsOf(page)
    const hand = mouse(page)
    await hand.press(/^New study$/)
    await hand.enter('Name', 'Packaged')
    await hand.enter('Target thickness', '1500')
    await hand.enter('Tolerance ±', '30')
    await hand.press(/^Create the study$/)
    await hand.press(/^Speed alone/)
    await hand.press(/^Make this the plan: \d+ runs/)
    const call = callerOn(page)
    const studyId = (await call<{ id: string }[]>('studies.list', {}))[0]?.id
    const runs = () => call<Run[]>('bench.runs', { studyId })
    await expect.poll(async () => (await runs()).length).toBeGreaterThanOrEqual(3)
    await hand.go('Bench')
    await hand.press(/^Coated: go on to the readings/)
    const film = ({ settings }: Run, factor: number) =>
      Array.from({ length: 9 }, (_, site) =>
        (factor * 1500 * (3250 / (settings.speed as number)) ** 0.5 * (1 + 0.001 * (site % 3))).toFixed(1),
      )
    const planned = (await runs()).sort((one, other) => one.runOrder - other.runOrder)
    await hand.readFilm(film(planned[0] as Run, 1))
    for (const [i, run] of planned.slice(1).entries())
      await call('bench.enterReadings', {
        runId: run.id,
        unit: 'nm',
        readings: film(run, 1 + 0.003 * Math.sin(7 * i)).map((text, site) => ({ site: site + 1, text })),
      })
    await hand.go('Curves')
    await page
      .getByText(/residual standard deviation/)
      .first()
      .waitFor()
    await hand.go('Next')
    await page.getByRole('button', { name: 'Take this run' }).first().waitFor({ timeout: 55_000 })
    await hand.press(/^Take this run/)
    await expect.poll(async () => (await runs()).length).toBe(planned.length + 1)
    expect(complaints).toEqual([])
    await app.close()
  })
})
