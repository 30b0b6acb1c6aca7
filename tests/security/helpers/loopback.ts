import { mkdtempSync, rmSync } from 'node:fs'
import { type IncomingHttpHeaders, request } from 'node:http'
import { connect } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type BrowserDoor, serveInBrowser } from '../../../electron/browser.ts'
import { makePage } from './page.ts'

export type Reply = { status: number; headers: IncomingHttpHeaders; body: string }
export type Ask = {
  method?: string
  headers?: Record<string, string | string[]>
  body?: string | Buffer
  path?: string
}

export type Loopback = {
  folder: string
  door: BrowserDoor
  port: number
  origin: string
  /** The cookie as a browser sends it, `name=value`. */
  cookie: string
  /** A request made by hand, so that every header is what the test says. */
  ask(what: Ask): Promise<Reply>
  /** Bytes put on a connection as they are; what comes back until it is closed. */
  raw(text: string): Promise<string>
  /** Headers of a browser that knows the cookie, and of a call of its page. */
  known(): { cookie: string }
  asPage(): { cookie: string; origin: string; 'content-type': string }
  close(): Promise<void>
}

/** A door on loopback with a small page, whose code has been traded for the cookie. */
export async function openLoopback(): Promise<Loopback> {
  const folder = mkdtempSync(join(tmpdir(), 'evenfilm-loopback-'))
  const opened = await serveInBrowser({ data: join(folder, 'evenfilm.db'), page: makePage(folder) })
  if (!opened.ok) throw new Error(opened.problems[0]?.message)
  const door = opened.value
  const address = new URL(door.address)
  const port = Number(address.port)
  const ask = ({ method = 'GET', headers = {}, body, path = '/' }: Ask): Promise<Reply> =>
    new Promise((done, fail) => {
      const options = { host: '127.0.0.1', port, method, path }
      const sent = request({ ...options, headers: { host: `127.0.0.1:${port}`, ...headers } })
      sent.on('response', (response) => {
        let text = ''
        response.setEncoding('utf8')
        response.on('data', (part) => {
          text += part
        })
        response.on('end', () =>
          done({ status: response.statusCode ?? 0, headers: response.headers, body: text }),
        )
      })
      sent.on('error', fail)
      sent.end(body)
    })
  const welcome = await ask({ path: `${address.pathname}${address.search}` })
  const cookie = String(welcome.headers['set-cookie']?.[0]).split(';')[0] ?? ''
  return {
    folder,
    door,
    port,
    origin: address.origin,
    cookie,
    ask,
    raw: (text) =>
      new Promise((done) => {
        const socket = connect(port, '127.0.0.1', () => socket.write(text))
        let back = ''
        socket.on('data', (part) => {
          back += part
        })
        socket.on('error', () => {})
        socket.on('close', () => done(back))
      }),
    known: () => ({ cookie }),
    asPage: () => ({ cookie, origin: address.origin, 'content-type': 'application/json' }),
    async close() {
      await door.close()
      rmSync(folder, { recursive: true, force: true })
    },
  }
}
