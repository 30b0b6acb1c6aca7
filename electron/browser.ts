import { existsSync } from 'node:fs'
import { mkdir } from 'node:fs/promises'
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { dirname, join, resolve } from 'node:path'
import { type Answer, good, refuse } from '../shared/problem.ts'
import { readCall } from './browser/body.ts'
import { boundStrangers, patience } from './browser/connections.ts'
import { type Gate, makeGate } from './browser/gate.ts'
import { makeNews, type News } from './browser/news.ts'
import { defaultDataFile } from './data-file.ts'
import { type KeptEngine, keepEngine } from './engine-process/keep-engine.ts'
import { logState } from './engine-process/log-state.ts'
import { underNode } from './engine-process/under-node.ts'
import { freshNonce, guardHeaders, pageFile } from './page-files.ts'

export type BrowserDoor = {
  /** The address to open, with a code that works once. */
  address: string
  /** Ends the door and closes the database. */
  close(): Promise<void>
}

export type BrowserDoorOptions = {
  /** Database file; the program's own where none is named. */
  data?: string
  /** Port on 127.0.0.1; a free one where none is named. */
  port?: number
  /** Folder of the bundled page. */
  page?: string
  /** Seconds without a sign of life after which the engine counts as one that does not answer. */
  silence?: number
}

/** `held` lets go of every call that waits for the engine. */
type Served = {
  engine: KeptEngine
  strangers: ReturnType<typeof boundStrangers>
  gate: Gate
  news: News
  page: string
  held: Set<() => void>
}

/**
 * Serves the page and the engine's calls on 127.0.0.1 to a browser of this machine, and to nobody else.
 * Refuses where the page has not been built or the port is taken.
 */
export async function serveInBrowser(options: BrowserDoorOptions = {}): Promise<Answer<BrowserDoor>> {
  const page = options.page ?? resolve(import.meta.dirname, '../dist/page')
  if (!existsSync(join(page, 'index.html'))) {
    return refuse('pageMissing', 'The page has not been built yet: `npm run build` does it.')
  }
  const databaseFile = resolve(options.data ?? defaultDataFile())
  if (!options.data) await mkdir(dirname(databaseFile), { recursive: true })
  const news = makeNews()
  const held: Served['held'] = new Set()

  const server = createServer(patience)
  const strangers = boundStrangers(server)
  const listening = await listen(server, options.port ?? 0)
  if (!listening.ok) return listening
  const engine = keepEngine(() => underNode(process.execPath, engineFile(), databaseFile), {
    ...(options.silence === undefined ? {} : { silence: options.silence }),
    onChanged: () => news.tell('changed'),
    onProgress: (progress) => news.tell('progress', progress),
    onState: (state) => {
      logState(state)
      news.tell('engine', state)
      if (state.state === 'silent') for (const letGo of held) letGo()
    },
  })
  const served: Served = { engine, strangers, news, page, held, gate: makeGate(listening.value) }
  server.on('request', (request, response) => {
    answer(served, request, response).catch((error) => {
      console.error(error)
      if (!response.headersSent) plain(response, 500, 'A defect of the program; see where it was started.')
      else response.destroy()
    })
  })
  return good({
    address: served.gate.address,
    close: async () => {
      news.close()
      server.close()
      server.closeAllConnections()
      await engine.stop()
    },
  })
}

/** The engine as it was bundled with the page, or from source where it has not been. */
function engineFile(): string {
  const bundled = resolve(import.meta.dirname, '../dist/engine.cjs')
  return existsSync(bundled) ? bundled : join(import.meta.dirname, 'engine/main.ts')
}

function listen(server: ReturnType<typeof createServer>, port: number): Promise<Answer<number>> {
  return new Promise((done, fail) => {
    server.once('error', (error: NodeJS.ErrnoException) => {
      if (error.code === 'EADDRINUSE')
        done(refuse('portTaken', `Port ${port} is taken. Name another, or none.`))
      else if (error.code === 'EACCES')
        done(refuse('portRefused', `Port ${port} is not for ordinary programs.`))
      else fail(error)
    })
    server.listen({ host: '127.0.0.1', port, exclusive: true }, () => {
      done(good((server.address() as AddressInfo).port))
    })
  })
}

async function answer(served: Served, request: IncomingMessage, response: ServerResponse): Promise<void> {
  const url = addressOf(request, served.gate.origin)
  if (!url) return plain(response, 400, 'That is no address.')
  const verdict = served.gate.judge(request, url)
  if (!verdict.pass) {
    if (!('cookie' in verdict)) return plain(response, verdict.status, verdict.reason)
    return welcome(response, verdict.cookie)
  }
  served.strangers.known(request.socket)
  if (url.pathname === '/call') {
    if (request.method !== 'POST') return plain(response, 405, 'A call is a POST.')
    return answerCall(served, request, response)
  }
  if (url.pathname === '/start-again') {
    if (request.method !== 'POST') return plain(response, 405, 'This is asked by POST.')
    served.engine.startAgain()
    return json(response, 200, good(null))
  }
  if (request.method !== 'GET') return plain(response, 405, 'Files are read with GET.')
  if (url.pathname === '/events') return served.news.follow(response, 'engine', served.engine.state)
  // The raw path, since URL has already taken dots out of its own.
  const file = await pageFile(served.page, (request.url ?? '').split(/[?#]/, 1)[0] ?? '')
  response.writeHead(file.status, file.headers).end(file.body)
}

/** The address within this door that is asked for, or null where it is none or leads elsewhere (`//host/path`). */
function addressOf({ url = '' }: IncomingMessage, origin: string): URL | null {
  if (!url.startsWith('/') || !URL.canParse(url, origin)) return null
  const address = new URL(url, origin)
  return address.origin === origin ? address : null
}

/**
 * Answers a call. One that waits for an engine that does not answer is let go: a browser keeps six connections to one
 * address, and one must be left to ask for another engine. The page asks again under the same key.
 */
async function answerCall(
  { engine, held }: Served,
  request: IncomingMessage,
  response: ServerResponse,
): Promise<void> {
  const call = await readCall(request)
  if (!call.ok) return json(response, call.status, refuse('badCall', call.reason))
  const later = () => json(response, 503, refuse('engineSilent', 'The engine does not answer. Ask again.'))
  if (engine.state.state === 'silent') return later()
  let letGo = () => {}
  const released = new Promise<null>((done) => {
    letGo = () => done(null)
  })
  held.add(letGo)
  const answer = await Promise.race([engine.call(call.name, call.args, call.page, call.key), released])
  held.delete(letGo)
  if (answer) json(response, 200, answer)
  else later()
}

function json(response: ServerResponse, status: number, body: Answer<unknown>): void {
  response.writeHead(status, {
    ...guardHeaders(freshNonce()),
    'Content-Type': 'application/json; charset=utf-8',
    // What has been refused may go on sending.
    ...(status === 200 ? {} : { Connection: 'close' }),
  })
  response.end(JSON.stringify(body))
}

/**
 * Hands over the cookie and goes on to the page. Not by a redirect: where the address was opened from another
 * site (a terminal within a browser), a browser keeps a strict cookie back until the next step is our own.
 */
function welcome(response: ServerResponse, cookie: string | null): void {
  if (cookie) response.setHeader('Set-Cookie', cookie)
  const headers = { ...guardHeaders(freshNonce()), 'Content-Type': 'text/html; charset=utf-8' }
  const text =
    '<!doctype html><html lang="en-GB"><meta http-equiv="refresh" content="0;url=/"><link rel="icon" href="/icon.svg"><title>Evenfilm</title>'
  response.writeHead(200, headers).end(text)
}

function plain(response: ServerResponse, status: number, reason: string): void {
  const headers = { ...guardHeaders(freshNonce()), 'Content-Type': 'text/plain; charset=utf-8' }
  response.writeHead(status, { ...headers, Connection: 'close' }).end(reason)
}
