import fc from 'fast-check'
import { expect, test } from 'vitest'
import { withInterval } from '../../../shared/charts/format.ts'

test('the width of an interval decides the decimals of its ends and of the estimate', () => {
  expect(withInterval(-0.49012, -0.5042, -0.476)).toEqual({
    estimate: '−0.4901',
    lower: '−0.5042',
    upper: '−0.4760',
  })
  expect(withInterval(-0.5, -0.5000012, -0.4999988)).toEqual({
    estimate: '−0.50000000',
    lower: '−0.50000120',
    upper: '−0.49999880',
  })
  expect(withInterval(1234.6, 734.6, 1734.6)).toEqual({ estimate: '1235', lower: '735', upper: '1735' })
  expect(withInterval(3e-6, 2.98e-6, 3.02e-6)).toEqual({
    estimate: '3.0000·10⁻⁶',
    lower: '2.9800·10⁻⁶',
    upper: '3.0200·10⁻⁶',
  })
})

test('an estimate without an interval, or with one of no width, is written to five digits', () => {
  expect(withInterval(0.123456, null, null)).toEqual({ estimate: '0.12346', lower: '–', upper: '–' })
  expect(withInterval(2, 2, 2)).toEqual({ estimate: '2.0000', lower: '2.0000', upper: '2.0000' })
  expect(withInterval(0, 0, 0)).toEqual({ estimate: '0', lower: '0', upper: '0' })
})

test('the ends of an interval never read alike, and the estimate stands between them', () => {
  const size = fc.double({ min: 1e-9, max: 1e9, noNaN: true })
  const share = fc.double({ min: 1e-7, max: 10, noNaN: true })
  fc.assert(
    fc.property(size, share, fc.boolean(), (magnitude, width, negative) => {
      const estimate = negative ? -magnitude : magnitude
      const half = magnitude * width
      const { lower, upper, ...shown } = withInterval(estimate, estimate - half, estimate + half)
      const [low, middle, high] = [lower, shown.estimate, upper].map(numberOf) as [number, number, number]
      expect(low).toBeLessThan(middle)
      expect(middle).toBeLessThan(high)
      // The last place shown is worth at most a hundredth of half the width.
      expect(Math.abs(low - (estimate - half))).toBeLessThanOrEqual(half * 0.0051)
      expect(Math.abs(high - (estimate + half))).toBeLessThanOrEqual(half * 0.0051)
    }),
  )
})

/** Reads a written number back, with its true minus signs and power of ten. */
function numberOf(text: string): number {
  const raised = [...'⁻⁰¹²³⁴⁵⁶⁷⁸⁹']
  const plain = text
    .replaceAll('−', '-')
    .replace(
      /·10(.+)$/,
      (_, power: string) => `e${[...power].map((sign) => '-0123456789'[raised.indexOf(sign)]).join('')}`,
    )
  return Number(plain)
}
