import { mkdtempSync, rmSync } from 'node:fs'
import { createServer, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { ElectronApplication, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { electronFile, launchElectron, root } from '../e2e/helpers/doors.ts'

/** The items of Electron's own security checklist, each tried in the window. */
describe.skipIf(electronFile === '')('the desktop window', () => {
  let folder: string
  let app: ElectronApplication
  let page: Page
  /** A server that must never be asked for anything. */
  let elsewhere: Server
  let address: string
  const asked: string[] = []

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'evenfilm-desktop-'))
    elsewhere = createServer((request, response) => {
      asked.push(`${request.method} ${request.url}`)
      response.end('<h1>elsewhere</h1>')
    })
    elsewhere.on('upgrade', (request, socket) => {
      asked.push(`upgrade ${request.url}`)
      socket.destroy()
    })
    await new Promise<void>((done) => elsewhere.listen(0, '127.0.0.1', done))
    address = `127.0.0.1:${(elsewhere.address() as AddressInfo).port}`
    const launched = await launchElectron(folder)
    app = launched.app
    page = launched.page
    await page.getByRole('navigation').first().waitFor()
  })
  afterAll(async () => {
    await app?.close()
    elsewhere?.close()
    rmSync(folder, { recursive: true, force: true })
  })

  describe('the page', () => {
    test('runs in a sandbox, apart from the preload, without Node', async () => {
      const preferences = await app.evaluate(({ BrowserWindow }) => {
        const contents = BrowserWindow.getAllWindows()[0]?.webContents as unknown as {
          getLastWebPreferences(): Record<string, unknown>
        }
        return contents.getLastWebPreferences()
      })
      expect(preferences).toMatchObject({
        sandbox: true,
        contextIsolation: true,
        nodeIntegration: false,
        nodeIntegrationInSubFrames: false,
        webSecurity: true,
        webviewTag: false,
      })
      const seen = await page.evaluate(() =>
        ['require', 'process', 'module', 'global', 'Buffer', 'electron', 'ipcRenderer'].filter(
          (name) => name in window,
        ),
      )
      expect(seen).toEqual([])
    })

    test('has of the bridge what it needs: no raw messages, no other channel', async () => {
      const bridge = await page.evaluate(() => {
        const { evenfilm } = window as unknown as { evenfilm: Record<string, unknown> }
        return Object.entries(evenfilm).map(([name, value]) => `${name}: ${typeof value}`)
      })
      expect(bridge.sort()).toEqual([
        'call: function',
        'engineState: function',
        'kind: string',
        'on: function',
        'saveFile: function',
        'savePdf: function',
        'startEngineAgain: function',
        'takeStudyFile: function',
      ])
      const other = await page.evaluate(() => {
        const { evenfilm } = window as unknown as { evenfilm: { on(event: string, then: () => void): void } }
        try {
          evenfilm.on('evenfilm:closing', () => {})
          return 'taken'
        } catch (error) {
          return String(error)
        }
      })
      expect(other).toContain('There is no event')
    })

    test('runs no script and no style that stands within it, and compiles none from text', async () => {
      const ran = await page.evaluate(async () => {
        const here = window as unknown as Record<string, unknown>
        const script = document.createElement('script')
        script.textContent = 'window.ranInline = true'
        const style = document.createElement('style')
        style.textContent = 'body { outline: 7px solid }'
        const handler = document.createElement('div')
        handler.innerHTML =
          '<img src="data:," onerror="window.ranHandler = true"><b style="outline: 7px solid">b</b>'
        document.body.append(script, style, handler)
        // Not at once: what a debugger evaluates may compile, what runs later may not.
        const compiled = await new Promise((done) =>
          setTimeout(() => {
            try {
              // biome-ignore lint/security/noGlobalEval: the test is that it is refused
              done(eval('1') === 1)
            } catch {
              done(false)
            }
          }),
        )
        await new Promise((done) => setTimeout(done, 200))
        const outlines = [document.body, handler.querySelector('b')].map(
          (it) => it && getComputedStyle(it).outlineStyle,
        )
        script.remove()
        style.remove()
        handler.remove()
        return { inline: here.ranInline, handler: here.ranHandler, compiled, outlines }
      })
      expect(ran).toEqual({
        inline: undefined,
        handler: undefined,
        compiled: false,
        outlines: ['none', 'none'],
      })
    })

    test('takes a style with the nonce of this load, which the component library needs', async () => {
      const outline = await page.evaluate(() => {
        const style = document.createElement('style')
        style.nonce = document.querySelector<HTMLMetaElement>('meta[property=csp-nonce]')?.nonce ?? ''
        style.textContent = 'body { outline: 7px solid }'
        document.head.append(style)
        const { outlineStyle } = getComputedStyle(document.body)
        style.remove()
        return outlineStyle
      })
      expect(outline).toBe('solid')
    })

    test('reaches nothing outside', async () => {
      const reached = await page.evaluate(async (address) => {
        const loads = (make: () => HTMLElement & { src: string }, src: string) =>
          new Promise<boolean>((done) => {
            const element = make()
            element.onload = () => done(true)
            element.onerror = () => done(false)
            setTimeout(() => done(false), 1000)
            element.src = src
            document.body.append(element)
          })
        const opens = (what: EventTarget) =>
          new Promise<boolean>((done) => {
            what.addEventListener('open', () => done(true))
            what.addEventListener('error', () => done(false))
          })
        return {
          fetch: await fetch(`http://${address}/fetch`).then(
            () => true,
            () => false,
          ),
          image: await loads(() => document.createElement('img'), `http://${address}/image`),
          script: await loads(() => document.createElement('script'), `http://${address}/script`),
          frame: await loads(() => document.createElement('iframe'), `http://${address}/frame`),
          socket: await (async () => {
            try {
              return await opens(new WebSocket(`ws://${address}/socket`))
            } catch {
              return false
            }
          })(),
          events: await opens(new EventSource(`http://${address}/events`)),
        }
      }, address)
      // A frame tells of its load even where the content policy left it empty: the server knows better.
      expect({ ...reached, frame: false }).toEqual({
        fetch: false,
        image: false,
        script: false,
        frame: false,
        socket: false,
        events: false,
      })
      expect(asked).toEqual([])
    })

    test('has no permission but to write to the clipboard', async () => {
      const states = await page.evaluate(async () => {
        const state = async (name: string) =>
          (
            await navigator.permissions
              .query({ name: name as PermissionName })
              .catch(() => ({ state: 'unknown' }))
          ).state
        const names = [
          'geolocation',
          'notifications',
          'camera',
          'microphone',
          'midi',
          'clipboard-read',
          'clipboard-write',
        ]
        return Object.fromEntries(await Promise.all(names.map(async (name) => [name, await state(name)])))
      })
      expect(states).toEqual({
        geolocation: 'denied',
        notifications: 'denied',
        camera: 'denied',
        microphone: 'denied',
        midi: 'denied',
        'clipboard-read': 'denied',
        'clipboard-write': 'granted',
      })
      const asking = await page.evaluate(async () => ({
        media: await navigator.mediaDevices.getUserMedia({ audio: true }).then(
          () => 'given',
          (error) => error.name,
        ),
        place: await new Promise((done) =>
          navigator.geolocation.getCurrentPosition(
            () => done('given'),
            () => done('refused'),
          ),
        ),
        message: await Notification.requestPermission(),
      }))
      expect(asking.media).not.toBe('given')
      expect(asking.place).toBe('refused')
      expect(asking.message).toBe('denied')
    })
  })

  describe('navigation', () => {
    test.each(['http', 'https'])('by %s leads nowhere', async (scheme) => {
      await page.evaluate((to) => {
        location.href = to
      }, `${scheme}://${address}/away`)
      await page.waitForTimeout(300)
      expect(page.url()).toBe('evenfilm://app/')
      expect(asked).toEqual([])
    })

    test.each(['file:///etc/hostname', 'data:text/html,<h1>x</h1>', 'evenfilm://other/'])(
      'to %s leads nowhere',
      async (to) => {
        await page.evaluate((to) => {
          const link = document.createElement('a')
          link.href = to
          document.body.append(link)
          link.click()
          link.remove()
        }, to)
        await page.waitForTimeout(300)
        expect(page.url()).toBe('evenfilm://app/')
      },
    )

    test('opens no window, and of outside addresses only those on the list, in the browser', async () => {
      await app.evaluate(({ shell }) => {
        const kept = globalThis as typeof globalThis & { opened?: string[] }
        kept.opened = []
        shell.openExternal = async (to) => {
          kept.opened?.push(to)
        }
      })
      const windows = await page.evaluate(
        (tries) => tries.map((to) => window.open(to) === null),
        [
          'https://www.itl.nist.gov/div898/handbook/',
          'https://www.itl.nist.gov/div898/handbook/../',
          'https://elsewhere.example/',
          'file:///etc/hostname',
          'evenfilm://app/',
          'about:blank',
        ],
      )
      expect(windows).toEqual([true, true, true, true, true, true])
      expect(app.windows().length).toBe(1)
      const opened = await app.evaluate(() => (globalThis as { opened?: string[] }).opened)
      expect(opened).toEqual(['https://www.itl.nist.gov/div898/handbook/'])
    })

    test('no redirect leads away, and none within the page is stopped', async () => {
      const stopped = await app.evaluate(({ BrowserWindow }) => {
        const { webContents } = BrowserWindow.getAllWindows()[0] as Electron.BrowserWindow
        const asked = [
          'https://elsewhere.example/',
          'evenfilm://other/',
          'file:///etc/hostname',
          'evenfilm://app/',
        ]
        return asked.map((address) => {
          let prevented = false
          const event = { preventDefault: () => (prevented = true) }
          ;(webContents as unknown as { emit(...words: unknown[]): void }).emit(
            'will-redirect',
            event,
            address,
          )
          return prevented
        })
      })
      expect(stopped).toEqual([true, true, true, false])
    })

    test('no page is held within a page, even where a window were made that allows it', async () => {
      const attached = await app.evaluate(async ({ BrowserWindow }) => {
        const window = new BrowserWindow({ show: false, webPreferences: { webviewTag: true } })
        let held = false
        window.webContents.on('did-attach-webview', () => {
          held = true
        })
        await window.loadURL('data:text/html,<webview src="data:text/html,x"></webview>')
        await new Promise((done) => setTimeout(done, 700))
        window.destroy()
        return held
      })
      expect(attached).toBe(false)
    })
  })

  describe('the session', () => {
    test('asks nothing of any network, whatever page is in it', async () => {
      const outcome = await app.evaluate(async ({ BrowserWindow }, address) => {
        const loaded = []
        for (const scheme of ['http', 'https']) {
          const window = new BrowserWindow({ show: false })
          loaded.push(await window.loadURL(`${scheme}://${address}/main`).then(() => 'loaded', String))
          window.destroy()
        }
        const window = new BrowserWindow({ show: false })
        await window.loadURL(
          `data:text/html,<img src="http://${address}/image"><script>new WebSocket("ws://${address}/socket"); new WebSocket("wss://${address}/socket")</script>`,
        )
        await new Promise((done) => setTimeout(done, 500))
        window.destroy()
        return loaded
      }, address)
      expect(outcome.filter((each) => !each.includes('ERR_BLOCKED_BY_CLIENT'))).toEqual([])
      expect(asked).toEqual([])
    })

    test('serves the page’s own files, read with GET, from one host', async () => {
      const answers = await app.evaluate(async ({ session }) => {
        const own = session.defaultSession as unknown as {
          fetch(to: string, how?: object): Promise<Response>
        }
        const status = async (to: string, how?: object) => (await own.fetch(to, how)).status
        const page = await own.fetch('evenfilm://app/')
        return {
          page: page.status,
          headers: Object.fromEntries(page.headers.entries()),
          post: await status('evenfilm://app/', { method: 'POST', body: 'x' }),
          host: await status('evenfilm://other/'),
          none: await status('evenfilm://app/none.js'),
          put: await status('evenfilm://app/index.html', { method: 'PUT', body: 'x' }),
          remove: await status('evenfilm://app/index.html', { method: 'DELETE' }),
          out: await Promise.all(
            [
              ...['../../package.json', '%2e%2e/%2e%2e/package.json', '..%2f..%2fpackage.json'],
              ...['..%5c..%5cpackage.json', '..\\..\\package.json', 'assets/..%2f..%2fmain.cjs'],
              ...['%252e%252e%252fpackage.json', '%2e%2e%5cmain.cjs', '%2e./main.cjs', '.%2e%2fmain.cjs'],
              ...[
                'index.html%00.js',
                '%00',
                '/etc/hostname',
                '%2fetc%2fhostname',
                '%c0%ae%c0%ae/main.cjs',
                '%',
              ],
            ].map((path) => status(`evenfilm://app/${path}`).catch(() => 404)),
          ),
          hosts: await Promise.all(
            ['other', 'app.other', 'app.', 'other@app2'].map((host) =>
              status(`evenfilm://${host}/`).catch(() => 404),
            ),
          ),
        }
      })
      expect(answers).toMatchObject({ page: 200, post: 405, put: 405, remove: 405, host: 404, none: 404 })
      expect(new Set(answers.out)).toEqual(new Set([404]))
      expect(new Set(answers.hosts)).toEqual(new Set([404]))
      expect(answers.headers['content-security-policy']).toMatch(
        /^default-src 'none'; script-src 'self'; style-src 'self' 'nonce-/,
      )
      expect(answers.headers['x-content-type-options']).toBe('nosniff')
    })

    test('answers no page but its own over the bridge', async () => {
      const answer = await app.evaluate(
        async ({ BrowserWindow }, preload) => {
          const window = new BrowserWindow({ show: false, webPreferences: { preload, sandbox: true } })
          await window.loadURL('data:text/html,<h1>guest</h1>')
          const answers = await window.webContents.executeJavaScript(
            'Promise.all([evenfilm.call("studies.list", {}), evenfilm.saveFile({ fileName: "a", text: "b" })])',
          )
          window.destroy()
          return answers
        },
        join(root, 'dist/preload.cjs'),
      )
      expect(answer).toMatchObject([
        { ok: false, problems: [{ code: 'notAdmitted' }] },
        { ok: false, problems: [{ code: 'notAdmitted' }] },
      ])
    })

    test('answers over no channel what does not come from the page’s own frame', async () => {
      const answers = await app.evaluate(async ({ ipcMain }) => {
        type Asked = (event: object, ...words: unknown[]) => Promise<{ problems: { code: string }[] }>
        const { _invokeHandlers: channels } = ipcMain as unknown as { _invokeHandlers: Map<string, Asked> }
        const page = 'evenfilm://app/'
        const frames = [
          null,
          { parent: { url: page }, url: page },
          ...['evenfilm://other/', 'evenfilm:app', 'https://app/', 'file:///app/', 'about:blank', ''].map(
            (url) => ({ parent: null, url }),
          ),
        ]
        const given = []
        for (const [channel, asked] of channels)
          for (const senderFrame of frames)
            given.push(`${channel} ${(await asked({ senderFrame }, 'studies.list', {})).problems?.[0]?.code}`)
        return [...new Set(given)].sort()
      })
      expect(answers).toEqual([
        'evenfilm:call notAdmitted',
        'evenfilm:engineState notAdmitted',
        'evenfilm:saveFile notAdmitted',
        'evenfilm:savePdf notAdmitted',
        'evenfilm:startEngineAgain notAdmitted',
        'evenfilm:takeStudyFile notAdmitted',
      ])
    })

    test('takes no download from anywhere', async () => {
      const states = await app.evaluate(async ({ session }) => {
        const started: string[] = []
        session.defaultSession.once('will-download', (event, item) => {
          started.push(`${item.getURL()} ${event.defaultPrevented}`)
        })
        session.defaultSession.downloadURL('evenfilm://app/index.html')
        await new Promise((done) => setTimeout(done, 500))
        return started
      })
      expect(states).toEqual(['evenfilm://app/index.html true'])
    })
  })
})
