import { readdirSync, readFileSync } from 'node:fs'
import { join, relative, resolve } from 'node:path'
import ts from 'typescript'
import { expect, test } from 'vitest'

/**
 * Every regular expression of the program is tried on long texts that make a careless one go back and forth: the work
 * may grow with the length of a text, not with its square. What is counted is the processor's time, which other work on
 * the machine does not lengthen.
 */
const root = resolve(import.meta.dirname, '../..')
const folders = ['shared', 'electron', 'renderer']

/** Patterns that only ever meet texts of the program's own, or short ones, by what they stand for. */
const shortTextsOnly = new Set([
  // The name of a font as the charts write it.
  String.raw`([\d.]+)px`,
  String.raw`\s*[\d.]+px(?:\/\S+)?\s+`,
  // The formulas of the methods.
  String.raw`\d+\.\d+`,
  // A term up to its last bracket, so that each that opens is closed.
  String.raw`\[[^\]]*\]`,
])

type Found = { where: string; source: string; flags: string }

function patternsIn(file: string): Found[] {
  const whole = readFileSync(file, 'utf8')
  const text = file.endsWith('.vue') ? (/<script[^>]*>(.*?)<\/script>/s.exec(whole)?.[1] ?? '') : whole
  const found: Found[] = []
  const tree = ts.createSourceFile(file, text, ts.ScriptTarget.Latest)
  const visit = (node: ts.Node): void => {
    if (ts.isRegularExpressionLiteral(node)) {
      const end = node.text.lastIndexOf('/')
      found.push({
        where: relative(root, file),
        source: node.text.slice(1, end),
        flags: node.text.slice(end + 1),
      })
    }
    ts.forEachChild(node, visit)
  }
  visit(tree)
  return found
}

const sources = folders.flatMap((folder) =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.(ts|vue)$/.test(name))
    .map((name) => join(root, folder, name)),
)
const patterns = sources.flatMap(patternsIn)

/** What is repeated: signs that patterns of ours are made of, and pairs of them. */
const signs = [
  ' ',
  '1',
  'a',
  'A',
  '(',
  '[',
  '"',
  "'",
  '.',
  ',',
  '-',
  '=',
  ':',
  '/',
  '_',
  '\t',
  '\n',
  '*',
  '<',
  '\\',
]
const pumps = [
  ...signs,
  '1 ',
  'a ',
  '1,',
  '1.',
  'a1',
  ' -',
  ' =',
  ' :',
  'a.',
  '",',
  '""',
  '([',
  ',000',
  'nm',
  '°C ',
]
/** What stands before, so that a pattern begins, and behind, so that it fails at the last moment. */
const [befores, behinds] = [
  ['', 'a', '1', '"'],
  ['\u0001', 'x ', '1'],
]

/** The processor's time that a pattern takes for a text, ms; the least of some runs. */
function taken({ source, flags }: Found, text: string, runs: number): number {
  let least = Number.POSITIVE_INFINITY
  for (let run = 0; run < runs; run++) {
    // Made anew, so that no answer is remembered.
    const pattern = new RegExp(source, flags)
    const begun = process.cpuUsage()
    if (flags.includes('g')) text.replace(pattern, '')
    else pattern.test(text)
    const { user, system } = process.cpuUsage(begun)
    least = Math.min(least, (user + system) / 1000)
  }
  return least
}

test('the patterns are found', () => {
  expect(patterns.length).toBeGreaterThan(120)
  for (const source of shortTextsOnly) expect(patterns.map((one) => one.source)).toContain(source)
})

/** Texts of one make, in three lengths. */
const texts = pumps.flatMap((pump) =>
  befores.flatMap((before) =>
    behinds.map((behind) => ({
      words: `‘${before}${pump}…${behind}’`,
      of: [500, 2000, 8000].map((length) => before + pump.repeat(length / pump.length) + behind),
    })),
  ),
)

/** Whether a pattern goes back and forth on these: what is linear takes far less than a millisecond for the longest. */
function isSlow(one: Found, [short, middle, long]: [string, string, string]): boolean {
  const suspicious = 10
  for (const text of [short, middle])
    if (taken(one, text, 1) > suspicious && taken(one, text, 3) > suspicious) return true
  return (
    taken(one, long, 1) > suspicious && taken(one, long, 3) > Math.max(suspicious, 8 * taken(one, middle, 3))
  )
}

test('no pattern takes time by the square of a text', { timeout: 120_000 }, () => {
  const different = [...new Map(patterns.map((one) => [`${one.source}/${one.flags}`, one])).values()]
  const slow = different
    .filter(({ source }) => !shortTextsOnly.has(source))
    .flatMap((one) => {
      const found = texts.find(({ of }) => isSlow(one, of as [string, string, string]))
      return found ? [`${one.where}: /${one.source}/${one.flags} on ${found.words}`] : []
    })
  expect(slow).toEqual([])
})
