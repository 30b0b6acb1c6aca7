import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { root } from './node-version.js'

/** Licences that let a program under MIT carry the work, in source or as it is built. */
const admitted = ['MIT', 'ISC', 'BSD-2-Clause', 'BSD-3-Clause', 'Apache-2.0', '0BSD']

/** Where each bundle leaves the names of the packages that it holds. */
const lists = join(root, 'dist/packages')

/** Code that a tool adds to a bundle under no file name of its own. */
const added = [
  [/^\0vite\//, 'vite'],
  [/^\0rolldown\//, 'rolldown'],
  [/^\0.*plugin-vue:/, '@vitejs/plugin-vue'],
]

/** The package that a module of a bundle comes from; null for our own. */
export function packageOf(id) {
  const place = id.replaceAll('\\', '/').split('/node_modules/')
  if (place.length > 1) return place.at(-1).match(/^(?:@[^/]+\/)?[^/]+/)[0]
  return added.find(([sign]) => sign.test(id))?.[1] ?? null
}

/** Notes the packages whose code goes into a bundle. */
export function noteLicences(target) {
  return {
    name: 'note-licences',
    generateBundle(_options, bundle) {
      const ids = Object.values(bundle).flatMap((part) => part.moduleIds ?? [])
      const names = [...new Set(ids.map(packageOf))].filter((name) => name !== null).sort()
      mkdirSync(lists, { recursive: true })
      writeFileSync(join(lists, `${target}.json`), JSON.stringify(names))
    },
  }
}

/** A package with the licence it comes under, in its own words. */
function licenceOf(name) {
  const folder = join(root, 'node_modules', name)
  const { version, license } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'))
  const file = readdirSync(folder).find((entry) => /^licen[cs]e/i.test(entry))
  return {
    name,
    version,
    licence: license,
    text: file ? readFileSync(join(folder, file), 'utf8').trim() : null,
  }
}

/** Packages whose code is in the program: what the bundles of dist/ hold, and the database library beside them. */
export function shipped() {
  const noted = existsSync(lists) ? readdirSync(lists) : []
  const names = noted.flatMap((file) => JSON.parse(readFileSync(join(lists, file), 'utf8')))
  return [...new Set([...names, 'better-sqlite3'])].sort().map(licenceOf)
}

/**
 * Writes dist/LICENCES.txt: every package that is shipped, with the text of its licence.
 *
 * @throws where a package has no text, or comes under a licence that is not admitted
 */
export function writeLicences() {
  const packages = shipped()
  for (const { name, licence, text } of packages) {
    if (!admitted.includes(licence)) throw new Error(`${name} comes under ${licence}, which is not admitted.`)
    if (!text) throw new Error(`${name} brings no text of its licence.`)
  }
  const parts = packages.map(
    ({ name, version, licence, text }) => `${name} ${version} (${licence})\n\n${text}`,
  )
  const own = readFileSync(join(root, 'LICENSE'), 'utf8').trim()
  const rule = `\n\n${'-'.repeat(72)}\n\n`
  writeFileSync(
    join(root, 'dist/LICENCES.txt'),
    `${[
      `Evenfilm\n\n${own}`,
      'SQLite, which better-sqlite3 holds, is in the public domain. The licences of Electron and Chromium lie beside the program.',
      ...parts,
    ].join(rule)}\n`,
  )
}
