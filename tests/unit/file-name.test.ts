import fc from 'fast-check'
import { expect, test } from 'vitest'
import { plainFileName } from '../../shared/file-name.ts'

test.each([
  ['runs of study A.csv', 'runs of study A.csv'],
  ['Dicke in µm.csv', 'Dicke in µm.csv'],
  ['../../etc/passwd', 'etc passwd'],
  ['C:\\Windows\\system.ini', 'C Windows system.ini'],
  ['100/200 nm.csv', '100 200 nm.csv'],
  ['a<b>:c"d|e?f*.csv', 'a b c d e f.csv'],
  ['a\u0000b\n\u009b\u007f.csv', 'a b.csv'],
  ['wafer\u202evsc.exe.csv', 'wafer vsc.exe.csv'],
  ['\ud800a\udc00.csv', 'a.csv'],
  ['عينة ١.csv', 'عينة ١.csv'],
  ['می\u200cخواهم 👩\u200d🔬.csv', 'می\u200cخواهم 👩\u200d🔬.csv'],
  ['ends in dots. . .', 'ends in dots'],
  ['stem. .csv', 'stem.csv'],
  ['', 'evenfilm'],
  ['..', 'evenfilm'],
  ['.csv', 'evenfilm.csv'],
  ['CON', 'evenfilm CON'],
  ['nul.csv', 'evenfilm nul.csv'],
  ['Com1.report.html', 'evenfilm Com1.report.html'],
  ['aux .csv', 'evenfilm aux.csv'],
  ['LPT¹.csv', 'evenfilm LPT¹.csv'],
  ['console.csv', 'console.csv'],
  ['CON runs.csv', 'CON runs.csv'],
])('a file called %j is suggested as %j', (suggested, plain) => {
  expect(plainFileName(suggested)).toBe(plain)
})

test('a long name is cut and keeps its ending', () => {
  expect(plainFileName(`${'x'.repeat(1000)}.evenfilm`)).toBe(`${'x'.repeat(191)}.evenfilm`)
  expect(plainFileName(`${'膜'.repeat(10000)}.csv`)).toBe(`${'膜'.repeat(65)}.csv`)
  // Of an emoji that joiners hold together (11 bytes), the whole or nothing.
  expect(plainFileName(`${'👩\u200d🔬'.repeat(50)}.csv`)).toBe(`${'👩\u200d🔬'.repeat(17)}.csv`)
  expect(plainFileName(`e${'\u0301'.repeat(10000)}.csv`)).toBe(`e${'\u0301'.repeat(97)}.csv`)
})

test('whatever is suggested, the name is one that every system takes', () => {
  const unit = fc.oneof(
    fc.string({ unit: 'binary', maxLength: 3 }),
    fc.constantFrom('CON', 'nul', 'com1', '.', ' ', '/', '\\', '\u202e', '\u2066', '\u001b', '\u009b'),
    fc.constantFrom(
      '\ud83d',
      '\udd2c',
      '👩\u200d🔬',
      'e\u0301',
      'ש',
      '膜',
      '\u200b',
      '.csv',
      '\ufeff',
      '\u2028',
    ),
  )
  const text = fc.tuple(fc.array(unit, { maxLength: 40 }), fc.integer({ min: 1, max: 30 }))
  fc.assert(
    fc.property(text, fc.constantFrom('', '.csv', '.evenfilm'), ([parts, times], ending) => {
      const name = plainFileName(parts.join('').repeat(times) + ending)
      expect(name).not.toBe('')
      expect(name.endsWith(ending)).toBe(true)
      expect(Buffer.byteLength(name)).toBeLessThanOrEqual(200)
      // What is no whole character would come back from UTF-8 as another.
      expect(Buffer.from(name).toString()).toBe(name)
      expect(name).not.toMatch(/[\p{Cc}\p{Bidi_C}<>:"/\\|?*]|^[\s.]|[\s.]$/u)
      expect(name.split('.')[0]?.trim()).not.toMatch(/^(con|prn|aux|nul|(com|lpt)[0-9¹²³])$/i)
    }),
    { numRuns: 500 },
  )
})
