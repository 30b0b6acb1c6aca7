import { readFileSync } from 'node:fs'
import { createServer } from 'node:http'
import { type AddressInfo, connect, type Socket } from 'node:net'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { readCall } from '../../electron/browser/body.ts'
import { serveInBrowser } from '../../electron/browser.ts'
import { type Loopback, openLoopback } from './helpers/loopback.ts'

/** Requests such as no browser sends, or sends only where another page makes it. */
let door: Loopback
let call: string
beforeAll(async () => {
  door = await openLoopback()
  call = JSON.stringify({ name: 'studies.list', args: {} })
})
afterAll(() => door.close())

const good = async () => {
  const answer = await door.ask({ method: 'POST', path: '/call', headers: door.asPage(), body: call })
  expect(answer.status).toBe(200)
  expect(JSON.parse(answer.body)).toMatchObject({ ok: true })
}

describe('the host', () => {
  test('in another spelling is another host', async () => {
    const { port } = door
    const spellings = [
      ...[`localhost:${port}`, `LOCALHOST:${port}`, `127.0.0.1.:${port}`, `127.0.0.1:${port}.`],
      ...[`127.0.0.1:0${port}`, `127.0.0.1: ${port}`, `127.1:${port}`, `0x7f000001:${port}`],
      ...[`2130706433:${port}`, `[::1]:${port}`, `[::ffff:127.0.0.1]:${port}`, `0:${port}`],
      ...[`127.0.0.1:${port + 1}`, `127.0.0.1:${port}@elsewhere.example`, `elsewhere.example:${port}`],
      ...[`127.0.0.1:${port}, elsewhere.example`, '127.0.0.1:', ':'],
    ]
    for (const host of spellings)
      expect({ host, status: (await door.ask({ headers: { ...door.known(), host } })).status }).toEqual({
        host,
        status: 421,
      })
  })

  test('named twice, or not at all, is none', async () => {
    const { port, cookie } = door
    const hosts = (...names: string[]) => names.map((name) => `Host: ${name}\r\n`).join('')
    const own = `127.0.0.1:${port}`
    const ask = (lines: string, version = '1.1') =>
      door.raw(`GET / HTTP/${version}\r\n${lines}Cookie: ${cookie}\r\nConnection: close\r\n\r\n`)
    expect(await ask(hosts(own))).toMatch(/^HTTP\/1\.1 200/)
    expect(await ask(hosts(own, 'elsewhere.example'))).toMatch(/^HTTP\/1\.1 4\d\d/)
    expect(await ask(hosts('elsewhere.example', own))).toMatch(/^HTTP\/1\.1 4\d\d/)
    expect(await ask('')).toMatch(/^HTTP\/1\.1 400/)
    expect(await ask(hosts(''))).toMatch(/^HTTP\/1\.1 421/)
    expect(await ask('', '1.0')).toMatch(/^HTTP\/1\.1 421/)
  })

  test('is not that of an address with two slashes', async () => {
    for (const path of [`//elsewhere.example/call`, `//127.0.0.1:${door.port}@elsewhere.example/call`])
      expect((await door.ask({ method: 'POST', path, headers: door.asPage(), body: call })).status).toBe(400)
  })
})

describe('the method', () => {
  test.each(['x-http-method-override', 'x-method-override', 'x-http-method'])(
    'is what the request says, not a header: %s',
    async (header) => {
      const headers = { ...door.asPage(), [header]: 'POST' }
      expect((await door.ask({ path: '/call', headers })).status).toBe(405)
      const other = { ...door.asPage(), [header]: 'GET' }
      expect((await door.ask({ method: 'POST', path: '/', headers: other, body: call })).status).toBe(405)
      expect((await door.ask({ path: '/call?_method=POST', headers: door.asPage() })).status).toBe(405)
    },
  )

  test.each(['CONNECT', 'TRACE', 'PROPFIND', 'GETT'])('is one of two: %s', async (method) => {
    const target = method === 'CONNECT' ? `127.0.0.1:${door.port}` : '/'
    const answer = await door.raw(
      `${method} ${target} HTTP/1.1\r\nHost: 127.0.0.1:${door.port}\r\nCookie: ${door.cookie}\r\nConnection: close\r\n\r\n`,
    )
    expect(answer).not.toMatch(/^HTTP\/1\.1 [23]/)
  })

  test('to change to another protocol is not offered', async () => {
    const answer = await door.raw(
      `GET /events HTTP/1.1\r\nHost: 127.0.0.1:${door.port}\r\nConnection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\nSec-WebSocket-Version: 13\r\n\r\n`,
    )
    expect(answer).not.toMatch(/^HTTP\/1\.1 101/)
  })

  test('to start the engine again is asked by the page, by POST', async () => {
    const ask = (method: string, headers: Record<string, string>) =>
      door.ask({ method, path: '/start-again', headers })
    expect((await ask('POST', { origin: door.origin })).status).toBe(403)
    expect((await ask('POST', { ...door.asPage(), origin: 'http://127.0.0.1:1' })).status).toBe(403)
    expect((await ask('POST', { ...door.asPage(), 'sec-fetch-site': 'same-site' })).status).toBe(403)
    expect((await ask('GET', door.known())).status).toBe(405)
    expect((await ask('POST', door.asPage())).status).toBe(200)
    await good()
  })
})

describe('the cookie', () => {
  test('counts among others of its name that another port has set', async () => {
    const [name] = door.cookie.split('=')
    const cookie = `${name}=planted; ${door.cookie}; other=1`
    expect((await door.ask({ headers: { cookie } })).status).toBe(200)
  })

  test.each([
    (value: string) => value.slice(0, -1),
    (value: string) => `${value}A`,
    (value: string) => value.toLowerCase(),
    (value: string) => `${value.slice(0, -1)}é`,
    () => '%00',
    () => 'A'.repeat(43),
  ])('counts only whole and as it is (%#)', async (change) => {
    const [name, value = ''] = door.cookie.split('=')
    const headers = { cookie: Buffer.from(`${name}=${change(value)}`).toString('latin1') }
    expect((await door.ask({ headers })).status).toBe(403)
  })
})

describe('the body', () => {
  /** A server that reads calls of at most 1000 bytes, and says how many it took. */
  async function small() {
    let taken = 0
    const server = createServer(async (request, response) => {
      request.on('data', (part: Buffer) => {
        taken += part.length
      })
      const read = await readCall(request, 1000)
      response.writeHead(read.ok ? 200 : read.status, { Connection: 'close' }).end()
    })
    await new Promise<void>((done) => server.listen(0, '127.0.0.1', done))
    const { port } = server.address() as AddressInfo
    return { server, port, taken: () => taken }
  }

  test('that goes on in pieces beyond the limit is refused, and no more of it is taken in', async () => {
    const { server, port, taken } = await small()
    const piece = 'x'.repeat(900)
    const status = await new Promise<string>((done) => {
      const socket = connect(port, '127.0.0.1', () => {
        socket.write(
          'POST / HTTP/1.1\r\nHost: a\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n',
        )
        const clock = setInterval(() => socket.write(`384\r\n${piece}\r\n`), 5)
        socket.on('close', () => clearInterval(clock))
      })
      let back = ''
      socket.on('data', (part) => {
        back += part
      })
      socket.on('error', () => {})
      socket.on('close', () => done(back))
    })
    server.close()
    expect(status).toMatch(/^HTTP\/1\.1 413/)
    expect(taken()).toBeLessThan(100 * 900)
  })

  test('of somebody unknown is not read at all', async () => {
    const before = process.memoryUsage().rss
    const back = await new Promise<string>((done) => {
      const socket = connect(door.port, '127.0.0.1', () => {
        socket.write(
          `POST /call HTTP/1.1\r\nHost: 127.0.0.1:${door.port}\r\nOrigin: ${door.origin}\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n`,
        )
        const piece = `100000\r\n${'x'.repeat(0x100000)}\r\n`
        const more = () => {
          while (!socket.destroyed && socket.write(piece));
        }
        socket.on('drain', more)
        more()
      })
      let text = ''
      socket.on('data', (part) => {
        text += part
      })
      socket.on('error', () => {})
      socket.on('close', () => done(text))
    })
    // The end of the connection may overtake what was said.
    if (back !== '') expect(back).toMatch(/^HTTP\/1\.1 403/)
    expect(process.memoryUsage().rss - before).toBeLessThan(200 * 1024 * 1024)
    await good()
  })

  test('with two lengths is none', async () => {
    const answer = await door.raw(
      `POST /call HTTP/1.1\r\nHost: 127.0.0.1:${door.port}\r\nOrigin: ${door.origin}\r\nCookie: ${door.cookie}\r\nContent-Type: application/json\r\nContent-Length: 4\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n`,
    )
    expect(answer).toMatch(/^HTTP\/1\.1 400/)
  })

  test('is JSON in so many words: no list of types, no packing', async () => {
    const send = (headers: Record<string, string>, body: string | Buffer = call) =>
      door.ask({ method: 'POST', path: '/call', headers: { ...door.asPage(), ...headers }, body })
    expect((await send({ 'content-type': 'application/json, text/plain' })).status).toBe(415)
    expect((await send({ 'content-type': 'text/plain; application/json' })).status).toBe(415)
    expect((await send({ 'content-type': 'Application/JSON; charset=utf-8' })).status).toBe(200)
    const { gzipSync } = await import('node:zlib')
    expect((await send({ 'content-encoding': 'gzip' }, gzipSync(call))).status).toBe(400)
  })

  test('nested without end is refused, and the next call is answered', async () => {
    const deep = `{"name":"studies.list","args":${'['.repeat(200_000)}${']'.repeat(200_000)}}`
    const answer = await door.ask({ method: 'POST', path: '/call', headers: door.asPage(), body: deep })
    expect([200, 400]).toContain(answer.status)
    expect(JSON.parse(answer.body)).toMatchObject({ ok: false })
    await good()
  })
})

describe('those who say little', () => {
  /** Connections on which a request begins and does not end. */
  const slow = (count: number, words: string) =>
    Promise.all(
      Array.from(
        { length: count },
        () =>
          new Promise<Socket>((done) => {
            const socket = connect(door.port, '127.0.0.1', () => socket.write(words, () => done(socket)))
            socket.on('error', () => {})
            socket.resume()
          }),
      ),
    )

  test('keep nobody else out, however many they are: the oldest of them are let go', async () => {
    const [known] = await slow(
      1,
      `GET /events HTTP/1.1\r\nHost: 127.0.0.1:${door.port}\r\nCookie: ${door.cookie}\r\n\r\n`,
    )
    await new Promise((done) => known?.once('data', done))
    const sockets = await slow(300, `GET / HTTP/1.1\r\nHost: 127.0.0.1:${door.port}\r\nX-Slow: `)
    await good()
    await expect.poll(() => sockets.filter(({ destroyed }) => !destroyed).length).toBeLessThanOrEqual(64)
    expect(known?.destroyed).toBe(false)
    for (const socket of [...sockets, known]) socket?.destroy()
    await good()
  })

  test.runIf(process.env.EVENFILM_TEST_LONG)(
    'are let go after some seconds',
    async () => {
      const [head] = await slow(1, 'GET / HT')
      await expect.poll(() => head?.destroyed, { timeout: 18_000 }).toBe(true)
    },
    20_000,
  )

  test('a head beyond all measure is refused', async () => {
    const headers = { ...door.known(), 'x-long': 'x'.repeat(40_000) }
    expect((await door.ask({ headers })).status).toBe(431)
    await good()
  })
})

describe('what is never told', () => {
  test('no answer, of whatever kind, lets another origin read it', async () => {
    const preflight = {
      origin: 'https://elsewhere.example',
      'access-control-request-method': 'POST',
      'access-control-request-private-network': 'true',
    }
    const all = await Promise.all([
      door.ask({ method: 'OPTIONS', path: '/call', headers: preflight }),
      door.ask({
        method: 'OPTIONS',
        path: '/call',
        headers: { ...door.asPage(), 'access-control-request-method': 'POST' },
      }),
      door.ask({ headers: door.known() }),
      door.ask({ path: '/none', headers: door.known() }),
      door.ask({ path: '/?code=AAAA' }),
      door.ask({ method: 'POST', path: '/call', headers: door.asPage(), body: call }),
      door.ask({ method: 'POST', path: '/call', headers: door.asPage(), body: '{' }),
      door.ask({ method: 'POST', path: '/start-again', headers: door.asPage() }),
    ])
    for (const { headers } of all) {
      expect(Object.keys(headers).filter((name) => name.startsWith('access-control-'))).toEqual([])
      expect(headers['referrer-policy']).toBe('no-referrer')
      expect(headers['content-security-policy']).toContain("default-src 'none'")
    }
  })

  test('neither a log nor a refusal holds the code or the cookie', async () => {
    const secrets = [
      new URL(door.door.address).searchParams.get('code') ?? '',
      door.cookie.split('=')[1] ?? '',
    ]
    const said: string[] = []
    const spies = (['error', 'log', 'warn', 'info'] as const).map((way) =>
      vi.spyOn(console, way).mockImplementation((...words) => void said.push(words.map(String).join(' '))),
    )
    const answers = await Promise.all([
      door.ask({ path: `/${new URL(door.door.address).search}` }),
      door.ask({ path: `/none?${secrets[1]}`, headers: door.known() }),
      door.ask({ path: '/%', headers: door.known() }),
      door.ask({ path: `/${secrets[1]}`, headers: { ...door.known(), host: 'x' } }),
      door.ask({ method: 'POST', path: '/call', headers: door.asPage(), body: '{' }),
      door.ask({
        method: 'POST',
        path: '/call',
        headers: door.asPage(),
        body: '{"name":"studies.get","args":7}',
      }),
    ])
    for (const spy of spies) spy.mockRestore()
    for (const secret of secrets) {
      expect(secret).toHaveLength(43)
      expect(said.join('\n')).not.toContain(secret)
      for (const { body, headers } of answers) expect(JSON.stringify([body, headers])).not.toContain(secret)
    }
  })
})

/** Addresses at which the port is listened on, as the system lists them. */
const listening = (port: number) =>
  ['tcp', 'tcp6'].flatMap((kind) =>
    readFileSync(`/proc/net/${kind}`, 'utf8')
      .split('\n')
      .slice(1)
      .map((line) => line.trim().split(/\s+/))
      // State 0A: listening.
      .filter(
        ([, local = '', , state]) =>
          state === '0A' && Number.parseInt(local.split(':')[1] ?? '', 16) === port,
      )
      .map(([, local = '']) => `${kind} ${local.split(':')[0]}`),
  )

test.runIf(process.platform === 'linux')(
  'the system knows of one place that is listened on, 127.0.0.1, and of none once the door is closed',
  async () => {
    const opened = await serveInBrowser({
      data: join(door.folder, 'other.db'),
      page: join(door.folder, 'page'),
    })
    if (!opened.ok) throw new Error('not opened')
    const port = Number(new URL(opened.value.address).port)
    expect(listening(port)).toEqual(['tcp 0100007F'])
    const followed = await new Promise<Socket>((done) => {
      const socket = connect(port, '127.0.0.1', () => done(socket))
    })
    await opened.value.close()
    expect(listening(port)).toEqual([])
    await expect.poll(() => followed.destroyed).toBe(true)
  },
)
