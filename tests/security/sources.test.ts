import { readdirSync, readFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { pathToFileURL } from 'node:url'
import { describe, expect, test } from 'vitest'

const root = resolve(import.meta.dirname, '../..')

/** Lines below a folder that hold what they should not, with their place. */
function lines(folder: string, name: RegExp, wrong: RegExp): string[] {
  return readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((file) => name.test(file))
    .flatMap((file) =>
      readFileSync(join(root, folder, file), 'utf8')
        .split('\n')
        .map((line, index) => ({ line, place: `${folder}/${file}:${index + 1}` }))
        .filter(({ line }) => wrong.test(line))
        .map(({ line, place }) => `${place} ${line.trim()}`),
    )
}

describe('the page’s sources', () => {
  // Vue turns runs of static siblings into one HTML string, whose style attributes the content policy refuses.
  test('have no static style attribute', () => {
    expect(lines('renderer', /\.(vue|html)$/, /(^|[\s<])style="/)).toEqual([])
  })

  test('put no text into the page as HTML', () => {
    expect(
      lines('renderer', /\.(vue|ts)$/, /v-html|innerHTML|outerHTML|insertAdjacentHTML|document\.write/),
    ).toEqual([])
  })

  test('compile no code', () => {
    expect(lines('renderer', /\.(vue|ts)$/, /\beval\(|new Function\(/)).toEqual([])
  })
})

test('outside addresses stand in one file of the desktop door', () => {
  const found = lines('electron/desktop', /\.ts$/, /https?:\/\/[a-z]/)
  expect(found.filter((line) => !line.startsWith('electron/desktop/links.ts'))).toEqual([])
})

test('only one function hands an address to the system', () => {
  const found = lines('electron', /\.ts$/, /openExternal|openPath|showItemInFolder/)
  expect(found.map((line) => line.split(':')[0])).toEqual(['electron/desktop/links.ts'])
})

test('no device is given to the page, whatever asks for it', () => {
  const text = readFileSync(join(root, 'electron/desktop/permissions.ts'), 'utf8')
  expect(text).toContain('setDevicePermissionHandler(() => false)')
})

test('secrets of the loopback door are compared in a time that does not tell where they differ', () => {
  const text = readFileSync(join(root, 'electron/browser/gate.ts'), 'utf8')
  expect(text).toContain('timingSafeEqual(a, b)')
  expect(text).not.toMatch(/[!=]==? (cookie|code)\b|\b(cookie|code) [!=]==? (?!null)/)
})

test('the packaged program cannot be run as Node, takes no options of Node, and loads its own whole archive only', async () => {
  const { default: packaging } = await import(pathToFileURL(join(root, 'build/packaging.js')).href)
  expect(packaging).toMatchObject({
    asar: true,
    electronFuses: {
      runAsNode: false,
      enableNodeOptionsEnvironmentVariable: false,
      enableNodeCliInspectArguments: false,
      enableEmbeddedAsarIntegrityValidation: true,
      onlyLoadAppFromAsar: true,
      // The window has no cookies to keep.
      enableCookieEncryption: false,
    },
    asarUnpack: ['dist/{engine,worker}.cjs', 'node_modules/better-sqlite3/**'],
  })
})

test('every child process of Electron is sandboxed wherever Electron allows it', () => {
  const text = readFileSync(join(root, 'electron/desktop/main.ts'), 'utf8')
  expect(text).toContain("if (!app.commandLine.hasSwitch('no-sandbox')) app.enableSandbox()")
})
