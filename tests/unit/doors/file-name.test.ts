import { expect, test } from 'vitest'
import { plainFileName } from '../../../electron/desktop/file-name.ts'

test.each([
  ['runs of study A.csv', 'runs of study A.csv'],
  ['Dicke in µm.csv', 'Dicke in µm.csv'],
  ['../../etc/passwd', 'passwd'],
  ['C:\\Windows\\system.ini', 'system.ini'],
  ['a<b>:c"d|e?f*.csv', 'a b  c d e f .csv'],
  ['a\u0000b\n.csv', 'a b .csv'],
  ['', 'evenfilm'],
  ['..', 'evenfilm..'],
  ['.profile', 'evenfilm.profile'],
])('a file called %j is suggested as %j', (suggested, plain) => {
  expect(plainFileName(suggested)).toBe(plain)
})

test('a long name is cut', () => {
  expect(plainFileName('x'.repeat(1000)).length).toBe(150)
})
