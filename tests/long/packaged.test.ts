import { type ChildProcess, spawn, spawnSync } from 'node:child_process'
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { electronFile, root } from '../e2e/helpers/doors.ts'

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

describe.skipIf(electronFile === '' || process.platform !== 'linux')('the packaged program', () => {
  const port = 20_000 + (process.pid % 20_000)
  let folder: string
  let program: string
  let child: ChildProcess | null = null

  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'evenfilm-packaged-'))
    const packager = join(root, 'node_modules/electron-builder/cli.js')
    const words = ['--dir', '--config', 'build/packaging.js', `--config.directories.output=${folder}`]
    const packed = spawnSync(process.execPath, [packager, ...words], { cwd: root, encoding: 'utf8' })
    if (packed.status !== 0) throw new Error(packed.stdout + packed.stderr)
    program = join(folder, 'linux-unpacked')
  }, 300_000)
  afterAll(() => {
    child?.kill('SIGKILL')
    // The program's engine ends a moment after it, and still writes into the folder.
    rmSync(folder, { recursive: true, force: true, maxRetries: 10, retryDelay: 200 })
  })

  test('holds the bundles in its archive, the engine and one database binary beside it, nothing else', () => {
    const resources = join(program, 'resources')
    const unpacked = join(resources, 'app.asar.unpacked')
    expect(existsSync(join(resources, 'app'))).toBe(false)
    expect(readdirSync(join(unpacked, 'dist')).sort()).toEqual(['engine.cjs', 'worker.cjs'])
    expect(readdirSync(join(unpacked, 'node_modules'))).toEqual(['better-sqlite3'])
    expect(readdirSync(join(unpacked, 'node_modules/better-sqlite3')).sort()).toEqual([
      'LICENSE',
      'lib',
      'package.json',
      'prebuilds',
    ])
    expect(readdirSync(join(unpacked, 'node_modules/better-sqlite3/prebuilds'))).toEqual([
      `${process.platform}-${process.arch}.node`,
    ])
    expect(statSync(join(resources, 'app.asar')).size).toBeLessThan(20e6)
  })

  test('has its fuses set: it is no Node, takes no options of Node, loads only the archive', async () => {
    const { FuseState, FuseV1Options, getCurrentFuseWire } = await import('@electron/fuses')
    const wire = await getCurrentFuseWire(join(program, 'evenfilm'))
    expect(wire).toMatchObject({
      [FuseV1Options.RunAsNode]: FuseState.DISABLE,
      [FuseV1Options.EnableNodeOptionsEnvironmentVariable]: FuseState.DISABLE,
      [FuseV1Options.EnableNodeCliInspectArguments]: FuseState.DISABLE,
      [FuseV1Options.OnlyLoadAppFromAsar]: FuseState.ENABLE,
      [FuseV1Options.EnableEmbeddedAsarIntegrityValidation]: FuseState.ENABLE,
    })
  })

  test('starts, shows its page and answers from its database', async () => {
    const words = [
      '--no-sandbox',
      `--remote-debugging-port=${port}`,
      `--user-data-dir=${join(folder, 'profile')}`,
    ]
    child = spawn(join(program, 'evenfilm'), words, { stdio: 'ignore' })
    const shown = () => evaluate(port, 'document.querySelector("nav") !== null').catch(() => false)
    await expect.poll(shown, { timeout: 30_000 }).toBe(true)
    const about = (await evaluate(port, 'window.evenfilm.call("application.about", {})')) as {
      value: unknown
    }
    const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'))
    expect(about.value).toMatchObject({ version, database: join(folder, 'profile', 'evenfilm.db') })
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
  })
})
