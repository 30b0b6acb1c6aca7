import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { parseNumber } from '../../shared/numbers.ts'

const read = (text: string, decimal?: 'comma' | 'point') => {
  const answer = parseNumber(text, decimal === undefined ? {} : { decimal })
  return answer.ok ? answer.value : answer.problems[0]?.code
}

describe('a number as people type it', () => {
  test.each([
    ['101.5', 101.5],
    ['101,5', 101.5],
    ['1.234', 1.234],
    ['1,234', 1.234],
    [' 1530.6 ', 1530.6],
    ['.5', 0.5],
    ['5.', 5],
    ['+7', 7],
    ['-7', -7],
    ['\u22127,5', -7.5],
    ['1.5e3', 1500],
    ['1,5E-2', 0.015],
  ])('%s is %d', (text, value) => expect(read(text)).toBe(value))

  test.each(['1.234.567', '1,234,567', '1.234,5', '1,234.5', '12.345.678,9'])(
    '%s may hold thousands signs and is refused rather than guessed',
    (text) => expect(read(text)).toBe('ambiguousNumber'),
  )

  test.each([
    ...['12..5', '1.2.3', '1,2,3', '12a', 'a12', '1 530', '1\u00A0530', "1'530", '1_530', '0x10', '1e', 'e5'],
    ...[
      'Infinity',
      'NaN',
      '--5',
      '+-5',
      '5-',
      '.',
      ',',
      '-',
      '1e400',
      '٣',
      '1½',
      '5 nm',
      '1.5.',
      'OL',
      '---',
    ],
  ])('%s is refused as no number', (text) => expect(read(text)).toBe('notANumber'))

  test('an empty text is said to be missing', () => {
    const answer = parseNumber('  ')
    expect(answer).toEqual({
      ok: false,
      problems: [{ code: 'notANumber', message: 'The number is missing.' }],
    })
  })

  test('where the decimal sign is settled, the other one is refused', () => {
    expect(read('101,5', 'comma')).toBe(101.5)
    expect(read('101.5', 'comma')).toBe('notANumber')
    expect(read('101.5', 'point')).toBe(101.5)
    expect(read('101,5', 'point')).toBe('notANumber')
    expect(read('1.234,5', 'comma')).toBe('ambiguousNumber')
    expect(read('1015', 'comma')).toBe(1015)
  })

  test('every finite number that the program writes reads back the same, with point or comma', () => {
    const finite = fc.double({ noNaN: true, noDefaultInfinity: true })
    fc.assert(
      fc.property(finite, (number) => {
        const written = String(number)
        expect(read(written)).toBe(Number(written))
        expect(read(written.replace('.', ','))).toBe(Number(written))
      }),
    )
  })

  test('one decimal sign never vanishes: a fraction never reads as ten times itself or more', () => {
    const digits = fc.stringMatching(/^\d{1,6}$/)
    fc.assert(
      fc.property(digits, digits, fc.constantFrom('.', ','), (whole, fraction, sign) => {
        expect(read(`${whole}${sign}${fraction}`)).toBe(Number(`${whole}.${fraction}`))
      }),
    )
  })

  test('whatever is typed, either every character counts or nothing is taken', () => {
    const typed = fc.string({ unit: fc.constantFrom(..."0123456789.,-+eE \u00A0\u2212x'nm"), maxLength: 9 })
    fc.assert(
      fc.property(typed, (text) => {
        const answer = parseNumber(text)
        if (!answer.ok) return
        const respelt = text.trim().replaceAll('\u2212', '-').replace(',', '.')
        expect(respelt).not.toBe('')
        expect(answer.value).toBe(Number(respelt))
      }),
      { numRuns: 3000 },
    )
  })
})
