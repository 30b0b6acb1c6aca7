import fc from 'fast-check'
import { expect, test } from 'vitest'
import { decimalRest } from '../../shared/decimal-rest.ts'

/** The double as a whole number times a power of two, exactly. */
function wholeAndPower(value: number): [bigint, number] {
  let [whole, power] = [Math.abs(value), 0]
  while (!Number.isInteger(whole)) [whole, power] = [whole * 2, power + 1]
  return [BigInt(whole), power]
}

test.each([
  ['1000000000000.4', -0.0000244140625],
  ['0.1', -5.551115123125783e-18],
  ['0,1', -5.551115123125783e-18],
  ['-0.1', 5.551115123125783e-18],
  ['\u22120.1', 5.551115123125783e-18],
  ['9007199254740993', 1],
  ['1234', 0],
  ['0.5', 0],
  ['12.5e1', 0],
  ['0', 0],
])('%s', (text, rest) => {
  const value = Number(text.replace(',', '.').replace('\u2212', '-'))
  const found = decimalRest(text, value)
  expect(Math.abs(found - rest)).toBeLessThanOrEqual(1e-15 * Math.abs(rest))
})

test('double and rest together are the decimal, to 30 digits', () => {
  const digits = fc.stringMatching(/^[1-9]\d{0,27}$/)
  fc.assert(
    fc.property(digits, fc.integer({ min: 0, max: 22 }), (text, places) => {
      const long = text.padStart(places + 1, '0')
      const written = places === 0 ? long : `${long.slice(0, -places)}.${long.slice(-places)}`
      const value = Number(written)
      const rest = decimalRest(written, value)
      // Exactly: text·10^−places − value, over 10^places · 2^power.
      const [whole, power] = wholeAndPower(value)
      const left = (BigInt(text) << BigInt(power)) - whole * 10n ** BigInt(places)
      const exact = Number(left) / 10 ** places / 2 ** power
      expect(Math.abs(rest - exact)).toBeLessThanOrEqual(1e-14 * Math.abs(exact) + 1e-30 * value)
    }),
  )
})
