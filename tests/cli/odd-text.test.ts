import { describe, expect, test } from 'vitest'
import { printTable } from '../../electron/cli/print.ts'
import { shownJson, shownLines } from '../../electron/cli/shown-text.ts'
import { evenfilmHere, fileWith } from './evenfilm.ts'

/** Colours and a title for the terminal by ESC and by C1, bell, carriage return, backspace, an override, a line of its own. */
const odd = '\u001b[31m\u001b]0;x\u0007\u009b31m\r\b\u007f\u202e\u2066\u061c\nevenfilm: all is well'
const obeyed = /[^\P{Cc}\n]|[\u061c\u200e\u200f\u202a-\u202e\u2066\u2067]/u

const quoted = (text: string) => `"${text}"`
const table = (header: string) =>
  fileWith(
    `${quoted(header)},lot,thickness\n${[1, 2, 3, 4, 5, 6, 7, 8].map((x) => `${x},${quoted(`${odd}${x % 2}`)},${x * 1.5 + (x % 3)}`).join('\n')}\n`,
  )

describe('names that hold control characters', () => {
  test.each([
    ['in tables', () => ['fit', table(odd), '--model', `thickness ~ lot + "${odd}"`]],
    ['in tables of groups', () => ['film', table('v'), '--value', 'thickness', '--by', 'lot']],
    ['in problems', () => ['fit', table(odd), '--model', 'thickness ~ speed']],
    ['in options', () => ['fit', table('v'), '--model', 'thickness ~ v', '--at', `${odd}=3`]],
    ['as verbs', () => [odd]],
    ['as files', () => ['fit', `${odd}.csv`, '--model', 'y ~ x']],
  ])('are shown and not obeyed: %s', async (_, argsWith) => {
    const args = argsWith()
    const { stdout, stderr } = await evenfilmHere(args)
    expect(stdout + stderr).toContain('\u241b[31m')
    expect(stdout + stderr).not.toMatch(obeyed)
    // Nor can they put a line of their own among those of the program.
    expect(stdout + stderr).not.toMatch(/^evenfilm: all is well/m)
    const json = await evenfilmHere([...args, '--json'])
    expect(json.stdout).not.toMatch(obeyed)
    expect(JSON.stringify(JSON.parse(json.stdout))).toContain('\u009b31m')
  })

  test('leave the isolates of words from right to left in place', () => {
    expect(shownLines('lot שלום\u2069 12')).toBe('lot \u2068שלום\u2069\\u2069 12')
  })

  test('a document of JSON is the same when it is read', () => {
    const document = { [odd]: [odd, '\ud800', '\u2028', 'עברית 12'] }
    expect(shownJson(document)).not.toMatch(obeyed)
    expect(JSON.parse(shownJson(document))).toEqual(document)
  })
})

test.each([
  [
    'a gauge study',
    'wafer,operator,reload,thickness',
    (text: string, i: number) => `${text},${text},${i % 2},${1500 + i}`,
    [],
  ],
  [
    'a log of a check standard',
    'day,thickness',
    (text: string, i: number) => `${i === 3 ? text : `2026-03-0${i}`},${500 + i}`,
    ['--nominal', '500'],
  ],
  ['monitor readings', 'run,thickness', (text: string, i: number) => `${text},${1500 + (i % 3)}`, []],
  [
    'monitor readings with no number',
    'run,thickness',
    (text: string, i: number) => `${i},${i === 5 ? text : 1500 + (i % 3)}`,
    [],
  ],
  [
    'terms of a curve',
    'speed,lot,thickness',
    (text: string, i: number) => `${i + 1},${text},${1500 + (i % 3) * i}`,
    ['--model', 'thickness ~ speed + lot'],
  ],
] as const)(
  'hostile cells in %s are read as text or refused, in few words',
  async (what, header, row, options) => {
    const verb = what.startsWith('monitor') ? 'drift' : what.startsWith('terms') ? 'fit' : 'gauge'
    const cells = [
      '=HYPERLINK("http://a.example")',
      'x'.repeat(200_000),
      odd,
      '\0',
      '\u202e1500',
      'a;=1+1',
      '@SUM(1)',
      '1e999',
    ]
    for (const cell of cells) {
      const rows = Array.from({ length: 9 }, (_, i) => row(quoted(cell.replaceAll('"', '""')), i + 1))
      const { exit, stdout, stderr } = await evenfilmHere([
        verb,
        fileWith(`${header}\n${rows.join('\n')}\n`),
        ...options,
      ])
      expect(exit, cell.slice(0, 20)).toBeLessThan(3)
      expect(stdout + stderr).not.toMatch(obeyed)
      expect(stderr.length, cell.slice(0, 20)).toBeLessThan(5000)
      if (exit === 2) expect(stderr).toMatch(/^evenfilm: /)
    }
  },
)

test('columns line up under signs of two columns, marks and emoji', () => {
  const lines = printTable(
    ['lot', 'nm'],
    [
      ['膜厚', '1'],
      ['e\u0301', '2'],
      ['👩\u200d🔬', '3'],
      ['a\u001b', '4'],
    ],
  )
  expect(lines.split('\n')).toEqual([
    'lot   nm',
    '膜厚  1',
    'e\u0301     2',
    '👩\u200d🔬    3',
    'a\u241b    4',
  ])
})
