import { request } from 'node:http'
import { connect } from 'node:net'
import { networkInterfaces } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type BrowserDoor, serveInBrowser } from '../../electron/browser.ts'
import { type Loopback, openLoopback } from './helpers/loopback.ts'

let folder: string
let door: BrowserDoor
let port: number
let cookie: string
let ask: Loopback['ask']
let known: Loopback['known']
let asPage: Loopback['asPage']
let loopback: Loopback
const call = JSON.stringify({ name: 'studies.list', args: {} })

beforeAll(async () => {
  loopback = await openLoopback()
  ;({ folder, door, port, cookie, ask, known, asPage } = loopback)
})
afterAll(() => loopback.close())

describe('the code in the address', () => {
  test('becomes a cookie that no script reads and no other site sends, and leaves the address', async () => {
    const opened = await serveInBrowser({ data: join(folder, 'other.db'), page: join(folder, 'page') })
    if (!opened.ok) throw new Error('not opened')
    const address = new URL(opened.value.address)
    const get = (search: string) => fetch(new URL(`/${search}`, address.origin), { redirect: 'manual' })

    const wrong = await get('?code=AAAA')
    expect(wrong.status).toBe(403)
    const first = await get(address.search)
    expect(first.status).toBe(200)
    expect(first.headers.get('set-cookie')).toMatch(
      new RegExp(`^evenfilm-${address.port}=[\\w-]{43}; HttpOnly; SameSite=Strict; Path=/$`),
    )
    expect(await first.text()).toContain('content="0;url=/"')
    expect(first.headers.get('referrer-policy')).toBe('no-referrer')
    const again = await get(address.search)
    expect(again.status).toBe(403)
    expect(again.headers.get('set-cookie')).toBeNull()
    await opened.value.close()
  })

  test('used again by the browser that used it leads on to the page, with no new cookie', async () => {
    const address = new URL(door.address)
    const again = await ask({ path: `/${address.search}`, headers: known() })
    expect(again.status).toBe(200)
    expect(again.headers['set-cookie']).toBeUndefined()
  })

  test('is of another value at every start, and so is the cookie', async () => {
    const other = await serveInBrowser({ data: join(folder, 'third.db'), page: join(folder, 'page') })
    if (!other.ok) throw new Error('not opened')
    expect(new URL(other.value.address).search).not.toBe(new URL(door.address).search)
    const response = await fetch(other.value.address)
    const otherCookie = response.headers.get('set-cookie') ?? ''
    expect(otherCookie.split('=')[1]).not.toBe(cookie.split('=')[1])
    await other.value.close()
  })
})

describe('who is let in', () => {
  test('the page with its cookie', async () => {
    expect((await ask({ headers: known() })).status).toBe(200)
    const answer = await ask({ method: 'POST', path: '/call', headers: asPage(), body: call })
    expect(answer.status).toBe(200)
    expect(JSON.parse(answer.body)).toEqual({ ok: true, value: [] })
  })

  test.each(['/', '/index.html', '/events', '/assets/page.js', '/none'])(
    'nobody without it: %s',
    async (path) => {
      expect((await ask({ path })).status).toBe(403)
      expect((await ask({ path, headers: { cookie: `${cookie}x` } })).status).toBe(403)
      expect((await ask({ path, headers: { cookie: `evenfilm-${port}=` } })).status).toBe(403)
      expect((await ask({ path, headers: { cookie: `other=${cookie.split('=')[1]}` } })).status).toBe(403)
    },
  )

  test('no call without it', async () => {
    const { cookie: _none, ...headers } = asPage()
    expect((await ask({ method: 'POST', path: '/call', headers, body: call })).status).toBe(403)
  })

  test.each(['http://127.0.0.1:1', 'http://localhost', 'https://elsewhere.example', 'null', 'file://'])(
    'no page of another origin, even with the cookie: %s',
    async (other) => {
      const headers = { ...asPage(), origin: other }
      expect((await ask({ method: 'POST', path: '/call', headers, body: call })).status).toBe(403)
      expect((await ask({ headers: { ...known(), origin: other } })).status).toBe(403)
    },
  )

  test('no call that names no origin', async () => {
    const headers = { ...known(), 'content-type': 'application/json' }
    expect((await ask({ method: 'POST', path: '/call', headers, body: call })).status).toBe(403)
  })

  test.each(['cross-site', 'same-site'])('nothing that a browser marks as %s', async (site) => {
    const headers = { ...known(), 'sec-fetch-site': site }
    expect((await ask({ path: '/events', headers })).status).toBe(403)
    expect((await ask({ path: '/assets/page.js', headers })).status).toBe(403)
  })

  test.each(['elsewhere.example', 'localhost', '127.0.0.1', '127.0.0.1:1', '[::1]', '0.0.0.0'])(
    'no other host name, so that no foreign name can be pointed here: %s',
    async (host) => {
      expect((await ask({ headers: { ...known(), host } })).status).toBe(421)
      expect(
        (await ask({ method: 'POST', path: '/call', headers: { ...asPage(), host }, body: call })).status,
      ).toBe(421)
    },
  )
})

describe('what is taken', () => {
  test.each(['GET', 'PUT', 'DELETE', 'OPTIONS', 'PATCH', 'HEAD'])(
    'a call by POST only, not by %s',
    async (method) => {
      const answer = await ask({ method, path: '/call', headers: asPage() })
      expect(answer.status).toBe(405)
      expect(answer.headers['access-control-allow-origin']).toBeUndefined()
    },
  )

  test('files by GET only', async () => {
    expect((await ask({ method: 'POST', path: '/', headers: asPage(), body: call })).status).toBe(405)
  })

  test.each([
    'text/plain',
    'application/x-www-form-urlencoded',
    'multipart/form-data',
    'application/jsonx',
    '',
  ])('JSON only, not %s', async (type) => {
    const headers = { ...asPage(), 'content-type': type }
    expect((await ask({ method: 'POST', path: '/call', headers, body: call })).status).toBe(415)
  })

  test.each(['', '{', '[]', 'null', '7', '"text"', '{"args":{}}', '{"name":7}', '{"name":"a"', '\u0000'])(
    'no malformed call: %j',
    async (body) => {
      const answer = await ask({ method: 'POST', path: '/call', headers: asPage(), body })
      expect(answer.status).toBe(400)
      expect(JSON.parse(answer.body)).toMatchObject({ ok: false, problems: [{ code: 'badCall' }] })
    },
  )

  test('no bytes that are no UTF-8', async () => {
    const body = Buffer.concat([Buffer.from('{"name":"'), Buffer.from([0xff, 0xfe]), Buffer.from('"}')])
    expect((await ask({ method: 'POST', path: '/call', headers: asPage(), body })).status).toBe(400)
  })

  test.each(['toString', '__proto__', 'constructor', 'studies.none', ''])(
    'no call that the contract does not name: %j',
    async (name) => {
      const body = JSON.stringify({ name, args: {} })
      const answer = await ask({ method: 'POST', path: '/call', headers: asPage(), body })
      expect(JSON.parse(answer.body)).toMatchObject({ ok: false, problems: [{ code: 'unknownCall' }] })
    },
  )

  test('a call larger than the limit is refused before it is read', async () => {
    const headers = { ...asPage(), 'content-length': String(300 * 1024 * 1024) }
    const status = await new Promise<number>((done, fail) => {
      const options = { host: '127.0.0.1', port, method: 'POST', path: '/call' }
      const sent = request({ ...options, headers: { host: `127.0.0.1:${port}`, ...headers } })
      sent.on('response', (response) => {
        done(response.statusCode ?? 0)
        sent.destroy()
      })
      sent.on('error', fail)
      sent.write('{')
    })
    expect(status).toBe(413)
  })

  test.each([
    '/../secret.js',
    '/%2e%2e/secret.js',
    '/..%2fsecret.js',
    '/assets/..%5c..%5csecret.js',
    '/%00',
    '//x/y',
  ])('no file outside the page: %s', async (path) => {
    const answer = await ask({ path, headers: known() })
    expect([400, 404]).toContain(answer.status)
    expect(answer.body).not.toContain('secret')
  })

  test('an address that is none', async () => {
    const answer = await loopback.raw(
      `GET http://elsewhere.example/ HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nConnection: close\r\n\r\n`,
    )
    expect(answer).toMatch(/^HTTP\/1\.1 400/)
  })
})

describe('what is told', () => {
  test('every answer carries the content policy, and is neither sniffed nor kept', async () => {
    const answers = await Promise.all([
      ask({ headers: known() }),
      ask({}),
      ask({ path: '/none', headers: known() }),
      ask({ method: 'POST', path: '/call', headers: asPage(), body: call }),
    ])
    for (const { headers } of answers) {
      expect(headers['content-security-policy']).toContain("default-src 'none'; script-src 'self';")
      expect(headers['x-content-type-options']).toBe('nosniff')
      expect(headers['cache-control']).toBe('no-store')
      expect(headers['cross-origin-resource-policy']).toBe('same-origin')
      expect(headers['access-control-allow-origin']).toBeUndefined()
    }
  })

  test('only on 127.0.0.1: the other addresses of this machine do not answer', async () => {
    const others = Object.values(networkInterfaces()).flatMap((list) => list ?? [])
    const addresses = [
      ...others.filter(({ internal }) => !internal).map(({ address }) => address),
      '127.0.0.2',
      '::1',
    ]
    for (const host of addresses) {
      const outcome = await new Promise((done) => {
        const socket = connect({ host, port, timeout: 2000 }, () => done('answers'))
        for (const event of ['error', 'timeout']) socket.on(event, () => done('does not answer'))
      })
      expect({ host, outcome }).toEqual({ host, outcome: 'does not answer' })
    }
  })

  test('a change reaches those who follow', async () => {
    const heard = new Promise<string>((done, fail) => {
      const options = { host: '127.0.0.1', port, path: '/events' }
      const sent = request({ ...options, headers: { host: `127.0.0.1:${port}`, ...known() } })
      sent.on('response', (response) => {
        expect(response.headers['content-type']).toBe('text/event-stream')
        let text = ''
        response.on('data', (part) => {
          text += part
          if (text.includes('event: changed\ndata:\n\n')) {
            done(text)
            sent.destroy()
          }
        })
      })
      sent.on('error', fail)
      sent.end()
    })
    const body = JSON.stringify({ name: 'studies.create', args: { study: { name: 'Heard' } } })
    await new Promise((done) => setTimeout(done, 100))
    await ask({ method: 'POST', path: '/call', headers: asPage(), body })
    expect(await heard).toContain('changed')
  })
})

describe('the port', () => {
  test('that is taken is refused in words', async () => {
    const again = await serveInBrowser({ data: join(folder, 'fourth.db'), page: join(folder, 'page'), port })
    expect(again).toMatchObject({ ok: false, problems: [{ code: 'portTaken' }] })
  })

  test('is free again once the door is closed', async () => {
    const options = { data: join(folder, 'fifth.db'), page: join(folder, 'page') }
    const first = await serveInBrowser(options)
    if (!first.ok) throw new Error('not opened')
    await first.value.close()
    const second = await serveInBrowser({ ...options, port: Number(new URL(first.value.address).port) })
    expect(second.ok).toBe(true)
    if (second.ok) await second.value.close()
  })
})
