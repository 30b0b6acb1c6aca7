import { readdirSync, readFileSync } from 'node:fs'
import { join, relative, resolve } from 'node:path'
import { describe, expect, test } from 'vitest'

const root = resolve(import.meta.dirname, '../..')

/** Source files below a folder, as paths from the root. */
function sources(folder: string): string[] {
  return readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((file) => /\.(ts|vue)$/.test(file))
    .map((file) => join(folder, file))
}

/** What a file imports, with relative paths turned into paths from the root. Types of libraries cost nothing. */
function importsOf(file: string): string[] {
  const text = readFileSync(join(root, file), 'utf8').replaceAll(/^import type .* from '[^.].*$/gm, '')
  const named = [...text.matchAll(/(?:from|import)\s*\(?\s*'([^']+)'/g)].map((match) => match[1] as string)
  return named.map((name) => (name.startsWith('.') ? relative(root, resolve(root, file, '..', name)) : name))
}

/** Files of the project that a file imports more than types from. */
function valuesImportedBy(file: string): string[] {
  const text = readFileSync(join(root, file), 'utf8')
    .replaceAll(/^(import|export) type [\s\S]*?from '.*'$/gm, '')
    .replaceAll(/^(import|export) \{(\s*type [^,}]*,?)*\s*\} from '.*'$/gm, '')
  const named = [...text.matchAll(/(?:from|import)\s*\(?\s*'(\.[^']+\.(?:ts|vue))'/g)].map(
    (match) => match[1] as string,
  )
  return named.map((name) => relative(root, resolve(root, file, '..', name)))
}

const offenders = (folder: string, wrong: (imported: string, file: string) => boolean) =>
  sources(folder).flatMap((file) =>
    importsOf(file)
      .filter((imported) => wrong(imported, file))
      .map((imported) => `${file} imports ${imported}`),
  )

/** Fails with every import that goes the wrong way, and with what to do instead. */
function none(found: string[], instead: string): void {
  expect(found.length === 0 ? '' : `${found.join('\n')}\n→ ${instead}`).toBe('')
}

describe('dependencies point one way: renderer → shared ← electron', () => {
  test('shared is pure: no Node, no Electron, no Vue, nothing of the other two; one file draws charts', () => {
    const outside = /^(node:|electron|vue|pinia|chart\.js|better-sqlite3|renderer\/|electron\/)/
    const draws = (imported: string, file: string) =>
      imported === 'chart.js' && file === join('shared', 'charts', 'drawn-chart.ts')
    none(
      offenders('shared', (imported, file) => outside.test(imported) && !draws(imported, file)),
      'What shared/ needs of files, the window or the page is given to it as an argument.',
    )
  })

  test('the page never imports from electron', () => {
    none(
      offenders('renderer', (imported) => /^(electron(\/|$)|node:)/.test(imported)),
      'The page asks the engine by callEngine; what both need stands in shared/.',
    )
  })

  /** Every file that the page loads, with the one that first asks for it. */
  const loadedByPage = () => {
    const seen = new Map<string, string | null>(sources('renderer').map((file) => [file, null]))
    // A map is walked over what is added to it while it is walked.
    for (const file of seen.keys())
      for (const imported of valuesImportedBy(file)) if (!seen.has(imported)) seen.set(imported, file)
    return seen
  }

  /** The way on which the page comes to a file, from its own first; empty where there is none. */
  const wayTo = (seen: ReturnType<typeof loadedByPage>, file: string) => {
    const way = [file]
    while (seen.get(way[0] as string)) way.unshift(seen.get(way[0] as string) as string)
    return seen.has(file) ? [way.join(' → ')] : []
  }

  test('the page never loads the distributions, whose WebAssembly its content policy refuses', () => {
    none(
      wayTo(loadedByPage(), join('shared', 'model', 'distributions.ts')),
      'Compute it in the engine, or move what the page needs into a file that does not import distributions.',
    )
  })

  test('the page never loads the schemas, which the engine checks calls by', () => {
    const seen = loadedByPage()
    none(
      [...seen.keys()].filter((file) => importsOf(file).includes('zod')).flatMap((file) => wayTo(seen, file)),
      'Import types alone; words that a field may hold stand in shared/contract/choices.ts.',
    )
  })

  test('nothing outside the page imports from it', () => {
    none(
      offenders('electron', (imported) => imported.startsWith('renderer/')),
      'What both need stands in shared/.',
    )
  })

  test('only the desktop door and the preload import Electron', () => {
    const allowed = /^electron\/(desktop\/|preload\.ts$)/
    none(
      offenders('electron', (imported, file) => imported === 'electron' && !allowed.test(file)),
      'The engine runs without Electron too: electron/desktop/ hands it what it needs.',
    )
  })

  test('no file imports itself by way of others', () => {
    const imports = new Map(
      ['electron', 'shared', 'renderer'].flatMap(sources).map((file) => [file, valuesImportedBy(file)]),
    )
    // What imports nothing that is left is in no circle.
    for (let before = 0; before !== imports.size; ) {
      before = imports.size
      for (const [file, imported] of imports)
        if (!imported.some((each) => imports.has(each))) imports.delete(file)
    }
    expect([...imports.keys()]).toEqual([])
  })
})
