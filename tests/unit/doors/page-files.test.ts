import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { contentPolicy, fileBelow, pageFile } from '../../../electron/page-files.ts'

let outside: string
let page: string

beforeAll(() => {
  outside = mkdtempSync(join(tmpdir(), 'evenfilm-page-'))
  page = join(outside, 'page')
  mkdirSync(join(page, 'assets'), { recursive: true })
  mkdirSync(join(outside, 'page-other'))
  writeFileSync(join(page, 'index.html'), '<meta nonce="nonce-of-this-load">')
  writeFileSync(join(page, 'assets/page.js'), 'let a')
  writeFileSync(join(page, 'assets/%41.js'), 'let b')
  writeFileSync(join(page, 'unknown.type'), 'x')
  writeFileSync(join(outside, 'secret.js'), 'let secret')
  writeFileSync(join(outside, 'page-other/secret.js'), 'let secret')
})
afterAll(() => rmSync(outside, { recursive: true, force: true }))

describe('files of the page', () => {
  test('are found below the folder, the root being the page itself', async () => {
    expect(fileBelow(page, '/')).toBe(join(page, 'index.html'))
    expect(await pageFile(page, '/assets/page.js')).toMatchObject({
      status: 200,
      headers: { 'Content-Type': 'text/javascript; charset=utf-8', 'X-Content-Type-Options': 'nosniff' },
    })
  })

  test.each([
    '/../secret.js',
    '/%2e%2e/secret.js',
    '/..%2fsecret.js',
    '/assets/../../secret.js',
    '/..%5csecret.js',
    '/..\\secret.js',
    '/../page-other/secret.js',
    '/%00/secret.js',
    '/assets/page.js%00.html',
    '/%',
    '/%e0%a4%a',
    'secret.js',
    '//../secret.js',
    '/assets',
    '/unknown.type',
    '/none.js',
  ])('%s is not found', async (path) => {
    const answer = await pageFile(page, path)
    expect(answer.status).toBe(404)
    expect(String(answer.body)).not.toContain('secret')
  })

  test('no path holds a separator of another system, or the end of a name', () => {
    for (const path of ['/a%5cb.js', '/a\\b.js', '/a%00.js']) expect(fileBelow(page, path)).toBeNull()
  })

  test('a path is decoded once, not twice', async () => {
    expect(fileBelow(page, '/assets/%2541.js')).toBe(join(page, 'assets/%41.js'))
    expect((await pageFile(page, '/%252e%252e/secret.js')).status).toBe(404)
  })

  test('no path leads out of the folder', () => {
    const piece = fc.constantFrom('..', '%2e', '%2f', '/', '\\', '%5c', 'a', '%25', '.', '%00', 'page-other')
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 12 }), (pieces) => {
        const file = fileBelow(page, `/${pieces.join('')}`)
        expect(file === null || file.startsWith(`${page}/`)).toBe(true)
      }),
    )
  })

  test('every load has a nonce of its own, the same in the policy and in the page', async () => {
    const loads = await Promise.all([pageFile(page, '/'), pageFile(page, '/')])
    const nonces = loads.map(({ body }) => /nonce="([^"]+)"/.exec(String(body))?.[1])
    expect(new Set(nonces).size).toBe(2)
    for (const [index, load] of loads.entries()) {
      expect(load.headers['Content-Security-Policy']).toContain(`'nonce-${nonces[index]}'`)
    }
  })

  test('the content policy lets the page run its own files and nothing else', () => {
    expect(contentPolicy('N')).toBe(
      "default-src 'none'; script-src 'self'; style-src 'self' 'nonce-N'; img-src 'self' data: blob:; " +
        "font-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
    )
  })
})
