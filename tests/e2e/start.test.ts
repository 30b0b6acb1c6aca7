import { spawn } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { root } from './helpers/doors.ts'

/** The start script as `npm start` runs it, on a database of the test's own. */
describe('the start without a display', () => {
  let folder: string
  let child: ReturnType<typeof spawn> | null = null

  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'evenfilm-start-'))
  })
  afterEach(() => {
    child?.kill('SIGKILL')
    rmSync(folder, { recursive: true, force: true })
  })

  function start(words: string[]) {
    const { DISPLAY: _x, WAYLAND_DISPLAY: _wayland, ...environment } = process.env
    const started = spawn(process.execPath, [join(root, 'build/start.js'), ...words], { env: environment })
    child = started
    const said = { out: '', err: '' }
    started.stdout.on('data', (part) => {
      said.out += part
    })
    started.stderr.on('data', (part) => {
      said.err += part
    })
    const ended = new Promise<number | null>((done) => started.on('exit', done))
    return { started, said, ended }
  }

  test.runIf(process.platform === 'linux')(
    'says why in one line, prints the address, serves, and ends when asked',
    async () => {
      const { started, said, ended } = start(['--data', join(folder, 'evenfilm.db')])
      await expect.poll(() => said.out, { timeout: 50_000 }).toMatch(/\n$/)
      expect(said.err).toContain('No desktop window: there is no display.')
      const address = said.out.trim()
      expect(address).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/\?code=[\w-]{43}$/)
      const welcome = await fetch(address)
      const cookie = welcome.headers.get('set-cookie')?.split(';')[0] ?? ''
      const page = await fetch(new URL('/', address), { headers: { cookie } })
      expect(await page.text()).toContain('<title>Evenfilm</title>')

      started.kill('SIGTERM')
      expect(await ended).toBe(0)
      // The code and the cookie are in nothing else that was printed.
      const code = new URL(address).searchParams.get('code') ?? ''
      expect(said.err).not.toContain(code)
      expect(said.out + said.err).not.toContain(cookie.split('=')[1])
    },
  )

  test.runIf(process.platform === 'linux')('refuses a port that is none', async () => {
    const { said, ended } = start(['--data', join(folder, 'evenfilm.db'), '--port', 'many'])
    expect(await ended).toBe(2)
    expect(said.err).toContain('‘many’ is no port')
  })
})
