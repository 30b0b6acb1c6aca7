import { existsSync, readdirSync, renameSync, rmSync, statSync } from 'node:fs'
import { builtinModules } from 'node:module'
import { join } from 'node:path'
import vue from '@vitejs/plugin-vue'
import { build } from 'vite'
import { addIcon, iconAsPng, iconAsSvg } from './icon.js'
import { noteLicences, writeLicences } from './licences.js'
import { needNode, root } from './node-version.js'

/**
 * Makes the bundles in dist/. Each target is a run of its own: built together, main and preload would get a
 * shared chunk, which a sandboxed preload cannot load.
 *
 *   node build/bundle.js              all targets
 *   node build/bundle.js page main    only these
 */
const targets = {
  page: { makes: 'page/index.html', from: ['renderer', 'shared', 'build/icon.js'], config: page },
  main: {
    makes: 'main.cjs',
    from: ['electron', 'shared', 'build/icon.js'],
    config: () =>
      node('main', 'electron/desktop/main.ts', 'node18', [addIcon('icon.png', () => iconAsPng(256))]),
  },
  preload: {
    makes: 'preload.cjs',
    from: ['electron/preload.ts', 'shared'],
    config: () => node('preload', 'electron/preload.ts', 'node18'),
  },
  engine: {
    makes: 'engine.cjs',
    from: ['electron/engine', 'shared'],
    config: () => node('engine', 'electron/engine/main.ts', 'node22'),
  },
  worker: {
    makes: 'worker.cjs',
    from: ['electron/engine', 'shared'],
    config: () => node('worker', 'electron/engine/compute/worker.ts', 'node22'),
  },
}

const targetNames = Object.keys(targets)

/** Where this process puts the page until it is whole. */
const newPage = join(root, `dist/page-${process.pid}`)

/** What both kinds of bundle share. */
const common = { root, configFile: false, logLevel: 'warn', clearScreen: false }

/** The page: one style sheet and modules, everything at addresses below the root, nothing inline. */
function page() {
  return {
    ...common,
    root: join(root, 'renderer'),
    base: '/',
    plugins: [vue({ features: { optionsAPI: false } }), noteLicences('page'), addIcon('icon.svg', iconAsSvg)],
    // Replaced at every load by whoever serves the page, with the word that its content policy names.
    html: { cspNonce: 'nonce-of-this-load' },
    build: {
      outDir: newPage,
      emptyOutDir: true,
      target: 'chrome114',
      assetsInlineLimit: 0,
      // Few files, since each is a question more: one sheet, what the first screen takes, what the others share.
      cssCodeSplit: false,
      rolldownOptions: {
        output: {
          codeSplitting: {
            groups: [
              { name: 'first', tags: ['$initial'] },
              { name: 'shared', minShareCount: 2 },
            ],
          },
        },
      },
      modulePreload: { polyfill: false },
      chunkSizeWarningLimit: 2000,
    },
  }
}

/** One CommonJS file for Node or Electron; only Electron, better-sqlite3 and Node's own modules stay outside. */
function node(name, entry, target, plugins = []) {
  return {
    ...common,
    plugins: [noteLicences(name), ...plugins],
    ssr: { noExternal: true },
    // Its build for Node, which takes a third of the time and memory to load of the one for browsers.
    resolve: { alias: { cephes: join(root, 'node_modules/cephes/index.js') } },
    build: {
      ssr: join(root, entry),
      outDir: join(root, 'dist'),
      emptyOutDir: false,
      target,
      minify: false,
      rolldownOptions: {
        external: ['electron', 'better-sqlite3', /^node:/, ...builtinModules],
        output: { format: 'cjs', entryFileNames: `${name}.cjs`, codeSplitting: false },
      },
    },
  }
}

/** Newest time of change of a file or of anything below a folder, ms. */
function newest(path) {
  if (!existsSync(path)) return 0
  const stat = statSync(path)
  if (!stat.isDirectory()) return stat.mtimeMs
  return Math.max(
    0,
    ...readdirSync(path, { recursive: true }).map((name) => statSync(join(path, name)).mtimeMs),
  )
}

/** Targets that are missing or older than what they are made from. */
export function stale(names = targetNames) {
  return names.filter((name) => {
    const { makes, from } = targets[name]
    const made = join(root, 'dist', makes)
    if (!existsSync(made)) return true
    const sources = [...from, 'package-lock.json', 'build/bundle.js'].map((path) => newest(join(root, path)))
    return statSync(made).mtimeMs < Math.max(...sources)
  })
}

/** Makes the named targets, one after another. */
export async function bundle(names = targetNames) {
  for (const name of names) {
    const started = performance.now()
    process.stderr.write(`Making dist/${targets[name].makes} … `)
    await build(targets[name].config())
    if (name === 'page') {
      // In one step, so that a page that is being served meanwhile is never half there.
      rmSync(join(root, 'dist/page'), { recursive: true, force: true })
      renameSync(newPage, join(root, 'dist/page'))
    }
    console.error(`${((performance.now() - started) / 1000).toFixed(1)} s`)
  }
  if (names.length > 0) writeLicences()
}

if (process.argv[1] === import.meta.filename) {
  needNode()
  const names = process.argv.slice(2)
  const unknown = names.filter((name) => !targetNames.includes(name))
  if (unknown.length > 0) {
    console.error(`There is no target ‘${unknown[0]}’; there are ${targetNames.join(', ')}.`)
    process.exit(2)
  }
  await bundle(names.length > 0 ? names : targetNames)
}
