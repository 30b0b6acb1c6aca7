import { readdirSync, readFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { gzipSync } from 'node:zlib'

/**
 * The size of the page's bundle in kB, as it is and packed with gzip: what the first load takes (the page, its style sheet
 * and the modules it names) and the whole. `node tests/bench/page-size.ts` prints JSON. Needs the bundles of dist/.
 */
const page = resolve(import.meta.dirname, '../../dist/page')
const html = readFileSync(join(page, 'index.html'), 'utf8')
const all = readdirSync(page, { encoding: 'utf8', recursive: true }).filter((file) =>
  /\.(?:html|js|css|wasm|woff2|svg)$/.test(file),
)
const first = all.filter((file) => file === 'index.html' || html.includes(file.replaceAll('\\', '/')))

function sizeOf(files: readonly string[]): { files: number; kB: number; gzipKB: number } {
  const bytes = files.map((file) => readFileSync(join(page, file)))
  const inKB = (lengths: number[]) => Number((lengths.reduce((sum, one) => sum + one, 0) / 1000).toFixed(1))
  return {
    files: files.length,
    kB: inKB(bytes.map(({ length }) => length)),
    gzipKB: inKB(bytes.map((each) => gzipSync(each).length)),
  }
}

process.stdout.write(`${JSON.stringify({ firstLoad: sizeOf(first), whole: sizeOf(all) }, null, 2)}\n`)
