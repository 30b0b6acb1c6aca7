import { expect, test } from 'vitest'
import { actualInWords } from '../../../shared/process/actual-words.ts'

test('what happened otherwise is said in a line, and nothing where all went as planned', () => {
  expect(actualInWords({ lidOpen: true, speed: 2050 })).toBe('2050 rpm, lid open')
  expect(actualInWords({ bakeSurface: -2.5, deviation: 'comet' })).toBe('surface −2.5 °C, comet')
  expect(actualInWords({ lidOpen: false, operator: 'R.' })).toBe('')
  expect(actualInWords({})).toBe('')
})
