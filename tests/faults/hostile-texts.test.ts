import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { deflateRawSync } from 'node:zlib'
import fc from 'fast-check'
import { afterAll, describe, test } from 'vitest'
import { seeded } from '../../shared/random.ts'
import { held } from './hostile/held-to-limits.ts'
import { inLimits } from './hostile/in-limits.ts'
import { mutated } from './hostile/mutate.ts'

/** Inputs by reader: few here, many with `npm run test:long`. */
const draws = process.env.EVENFILM_TEST_LONG ? 20_000 : 20
/** Far more than any of them needs on a busy machine; what hangs never ends. */
const limits = inLimits({ ms: 60_000, heap: 1000 })
afterAll(limits.end)

const corpus = join(import.meta.dirname, 'corpus')
const textReaders = readdirSync(corpus).filter((name) => !/\.|^(study|database)$/.test(name))
const kept = new Map(
  textReaders.map((reader) => [
    reader,
    readdirSync(join(corpus, reader)).map((name) => ({
      name,
      bytes: readFileSync(join(corpus, reader, name)),
    })),
  ]),
)

describe('kept inputs', () => {
  test.each([...kept].flatMap(([reader, files]) => files.map((file) => ({ reader, ...file }))))(
    '$reader: $name',
    ({ reader, bytes }) => held(limits, reader, bytes),
  )
})

test.each(textReaders)('%s: kept inputs changed at random', { timeout: 3_600_000 }, async (reader) => {
  const random = seeded(20)
  const inputs = (kept.get(reader) ?? []).map(({ bytes }) => bytes)
  for (let i = 0; i < draws; i++)
    await held(limits, reader, mutated(inputs[i % inputs.length] as Buffer, inputs, random))
})

const names = ['speed', 'thickness', 'a', 'b', '"sp eed"', 'pi', 'constructor', '__proto__']
const functions = ['log', 'log10', 'sqrt', 'exp', 'inverse', 'sin', 'arctan', 'eval']

/** Expressions of signs, names and functions, mostly as the grammars have them. */
const expression = (signs: string[], atoms: string[]) =>
  fc.letrec<{ sum: string; atom: string }>((tie) => ({
    sum: fc
      .array(fc.tuple(fc.constantFrom(...signs), tie('atom')), { minLength: 1, maxLength: 6 })
      .map((parts) => parts.map(([sign, atom], i) => (i === 0 ? atom : `${sign}${atom}`)).join('')),
    atom: fc.oneof(
      { maxDepth: 5, withCrossShrink: true },
      fc.constantFrom(...atoms),
      tie('sum').map((sum) => `(${sum})`),
      fc.tuple(fc.constantFrom(...functions), tie('sum')).map(([name, sum]) => `${name}(${sum})`),
    ),
  })).sum

const written: Record<string, fc.Arbitrary<string>> = {
  formula: fc
    .tuple(
      fc.constantFrom('thickness', 'log(thickness)', 'speed', ''),
      expression(['+', '-', '*', '/', '.', ':', '^'], [...names, '0', '1', '2', '0.5']),
    )
    .map(([response, terms]) => `${response} ~ ${terms}`),
  equation: fc
    .tuple(
      fc.constantFrom('thickness', 'log(thickness)'),
      expression(['+', '-', '*', '/', '^', '^-'], [...names, '0', '1e3', '1e308', '0.5']),
    )
    .map(([response, right]) => `${response} = a*b^0 + ${right}`),
  forbid: expression(
    [' and ', ' or ', ' and not '],
    ['speed > 0.5', 'time <= 1', 'speed = 0', 'constructor != 1', 'x > 1', 'time'],
  ),
  number: fc
    .array(
      fc.constantFrom('1', '0', '9', ',', '.', ' ', '-', '+', 'e', '−', 'nm', 'µm', 'Å', '\u00A0', "'"),
      { maxLength: 14 },
    )
    .map((parts) => parts.join('')),
}

test.each(Object.entries(written))(
  '%s: by its grammar',
  { timeout: 3_600_000 },
  async (reader, arbitrary) => {
    const property = fc.asyncProperty(arbitrary, (text) => held(limits, reader, Buffer.from(text)))
    await fc.assert(property, { numRuns: draws, seed: 20 })
  },
)

describe('far too much of everything', () => {
  const many = 100_000
  const lineLength = process.env.EVENFILM_TEST_LONG ? 1e8 : 4e6
  const columns = (n: number, sign = ',') => Array.from({ length: n }, (_, i) => `c${i}`).join(sign)
  const cases: [reader: string, what: string, text: () => string | Buffer][] = [
    ['number', 'digits and a letter', () => `${'1'.repeat(many)}x`],
    ['number', 'letters and a digit', () => `${'a'.repeat(many)}1`],
    ['number', 'opening brackets', () => '('.repeat(many)],
    ['number', 'blanks', () => `a${' '.repeat(many)}b`],
    ['number', 'decimals', () => `0.${'1'.repeat(many)}`],
    ['number', 'thousands', () => `1${',000'.repeat(many)}`],
    ['codes', 'dashes', () => '-'.repeat(many)],
    ['codes', 'ranges', () => 'W01-'.repeat(many)],
    ['codes', 'blanks', () => `a${' '.repeat(many)}b`],
    ['formula', 'opening brackets', () => '('.repeat(many)],
    ['formula', 'terms', () => `thickness ~ ${columns(5000, '+')}`],
    ['formula', 'columns of one interaction', () => `thickness ~ ${columns(5000, '.')}`],
    ['formula', 'crossed columns', () => `thickness ~ ${columns(30, '*')}`],
    ['formula', 'nested columns', () => `thickness ~ ${columns(5000, '/')}`],
    ['formula', 'a crossed sum', () => `thickness ~ (${columns(30, '+')})^30`],
    ['formula', 'a name that never closes', () => `thickness ~ "${'a'.repeat(1e7)}`],
    ['formula', 'powers', () => `thickness ~ speed${'^2'.repeat(20_000)}`],
    ['equation', 'brackets', () => `thickness = ${'('.repeat(many)}a${')'.repeat(many)}`],
    ['equation', 'signs', () => `thickness = ${'-'.repeat(1900)}a`],
    ['equation', 'digits', () => `thickness = a*${'9'.repeat(1900)}+b`],
    ['equation', 'powers', () => `thickness = a+b${'^9'.repeat(45)}`],
    ['forbid', 'conditions', () => `${'speed > 1 or '.repeat(20_000)}speed > 2`],
    ['forbid', 'one name', () => 'x'.repeat(1e6)],
    ['generators', 'factors', () => `a=${'b.'.repeat(many)}`],
    ['table', 'columns', () => `${columns(1e6)}\n${'1,'.repeat(1e6)}\n`],
    ['table', 'columns of one line', () => `${columns(6000)}\n${'1,'.repeat(6000)}\n`],
    ['table', 'one long line', () => 'x'.repeat(lineLength)],
    ['table', 'quotes', () => `a,b\n${'"'.repeat(many)}`],
    ['table', 'quotes amid text', () => `a,b\n${'"x'.repeat(many)}`],
    ['table', 'quotes and commas', () => `a,b\n${'",'.repeat(many)}`],
    ['table', 'brackets in the header', () => `${'('.repeat(many)},c\n1,2\n`],
    ['table', 'blanks in the header', () => `a${' '.repeat(many)}b,c\n1,2\n`],
    ['table', 'cells', () => `${columns(5000)}\n${'1\n'.repeat(10_000)}`],
    ['table', 'rows', () => `a,b\n${'1\n'.repeat(1_100_000)}`],
    ['table', 'empty lines', () => `${'\r'.repeat(many)}a,b\r1,2\r`],
    [
      'table',
      'numbers in the header',
      () => `site,${Array.from({ length: 200_000 }, (_, i) => i % 10).join()}\n1,2\n`,
    ],
    ['trace', 'points', () => '1,2\n'.repeat(300_000)],
    ['trace', 'strays', () => `${'1,2\n'.repeat(9)}${'1,x\n'.repeat(130_000)}${'1,2\n'.repeat(9)}`],
    ['trace', 'columns', () => `${'1,'.repeat(1e6)}\n`.repeat(4)],
    ['trace', 'blanks in the names', () => `a${' '.repeat(many)}b,c\n1,2\n2,3\n3,4\n5,6\n`],
    ['points', 'what unpacks to a thousand times its size', () => deflateRawSync(Buffer.alloc(3e8, ' '))],
    ['command', 'blanks in a setting', () => `fit\nx.csv\n--model\na~b\n--at\na=b${' '.repeat(many)}b,`],
    ['command', 'blanks in a factor', () => `plan\n--factor\na=1${' '.repeat(many)}x`],
    ['command', 'levels', () => `plan\n--factor\nlot=${'A|'.repeat(many)}B`],
    ['command', 'runs', () => 'plan\n--factor\na=1:2\n--design\nspace\n--runs\n100000000'],
  ]
  test.each(cases)('%s: %s', { timeout: 120_000 }, (reader, _, text) =>
    held(limits, reader, Buffer.from(text())),
  )
})
