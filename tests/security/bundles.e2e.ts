import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
// @ts-expect-error: build/ is plain JavaScript
import { packageOf, shipped } from '../../build/licences.js'
import { root } from '../e2e/helpers/doors.ts'

const made = (name: string) => readFileSync(join(root, 'dist', name), 'utf8')
const required = (text: string) =>
  [...text.matchAll(/\brequire\(\s*["'`]([^"'`]+)["'`]\s*\)/g)].map((match) => match[1])

test('a sandboxed preload can load nothing but Electron: it requires nothing else', () => {
  const text = made('preload.cjs')
  expect(required(text)).toEqual(['electron'])
  expect(text).not.toMatch(/\bimport\s*\(/)
})

test('the main process holds no database and no server', () => {
  const names = required(made('main.cjs'))
  expect(names).toContain('electron')
  expect(names).not.toContain('better-sqlite3')
  expect(names.filter((name) => /^(node:)?(http|https|net|tls|dgram|inspector)$/.test(name ?? ''))).toEqual(
    [],
  )
})

test('the page has no script or style within it and asks nothing of other hosts', () => {
  const text = made('page/index.html')
  expect(text).not.toMatch(/<script(?![^>]*\bsrc=)/)
  expect(text).not.toMatch(/<style|\sstyle=|\son\w+=/)
  expect(text).not.toMatch(/https?:\/\//)
  expect(text.match(/nonce-of-this-load/g)?.length).toBeGreaterThanOrEqual(2)
})

test('the page of parts is for developers and no part of the program', () => {
  const files = readdirSync(join(root, 'dist/page'), { recursive: true, encoding: 'utf8' })
  expect(files.filter((name) => name.endsWith('.html'))).toEqual(['index.html'])
  const texts = files.filter((name) => /\.(js|css|html)$/.test(name)).map((name) => made(`page/${name}`))
  expect(texts.filter((text) => /parts-page|Parts of the page/.test(text))).toEqual([])
})

test('no part of the page compiles text into code', () => {
  const scripts = readdirSync(join(root, 'dist/page/assets')).filter((name) => name.endsWith('.js'))
  expect(scripts.length).toBeGreaterThan(0)
  const compiling = scripts.filter((name) => /\beval\(|compileToFunction/.test(made(`page/assets/${name}`)))
  expect(compiling).toEqual([])
})

test('a module is told by the package it lies in, the innermost one', () => {
  const names = [
    '/x/node_modules/zod/v4/core.js',
    'C:\\x\\node_modules\\@vue\\shared\\index.js',
    '/x/node_modules/a/node_modules/b/c.js',
    '\0vite/preload-helper.js',
    '/x/shared/units.ts',
  ].map(packageOf)
  expect(names).toEqual(['zod', '@vue/shared', 'b', 'vite', null])
})

test('the licence of everything that is shipped goes with it, and each library of our choice has a reason', () => {
  const packages = shipped() as { name: string; text: string }[]
  const licences = made('LICENCES.txt')
  for (const { name, text } of packages) {
    expect(licences).toContain(`\n${name} `)
    expect(licences).toContain(text)
  }
  const names = packages.map(({ name }) => name)
  expect(names).toContain('@vue/runtime-core')
  const { dependencies, devDependencies } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'))
  const chosen = Object.keys({ ...dependencies, ...devDependencies }).filter((name) => names.includes(name))
  expect(chosen.length).toBeGreaterThan(8)
  const reasons = readFileSync(join(root, 'DEVELOPERS.md'), 'utf8')
  const reasonless = chosen.filter((name) => !new RegExp(`^\\| \`${name}\` +\\| \\S`, 'm').test(reasons))
  expect(reasonless.filter((name) => !tools.includes(name))).toEqual([])
})

/** They leave a few lines of their own in a bundle and nothing else. */
const tools = ['vite', '@vitejs/plugin-vue']
