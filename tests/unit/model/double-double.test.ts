import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  add,
  addMultiple,
  type DoubleDouble,
  divide,
  dot,
  entry,
  exactProduct,
  exactSum,
  multiply,
  type Paired,
  squareRoot,
  subtract,
  wholePower,
} from '../../../shared/model/double-double.ts'

/** A double as a whole number of units of 2⁻¹⁰⁰⁰, so that BigInt can do exact arithmetic. */
const unit = 1000n
function exact(x: number): bigint {
  if (Math.abs(x) < 2 ** -900) return 0n
  const exponent = Math.floor(Math.log2(Math.abs(x))) - 60
  return (
    ((BigInt(x / 2 ** exponent) << unit) / (exponent < 0 ? 1n << BigInt(-exponent) : 1n)) <<
    (exponent > 0 ? BigInt(exponent) : 0n)
  )
}
const exactly = ({ hi, lo }: DoubleDouble) => exact(hi) + exact(lo)

const number = fc.double({ min: -1e9, max: 1e9, noNaN: true }).map((x) => (Math.abs(x) < 1e-9 ? 0 : x))
const wide = fc
  .tuple(number, fc.double({ min: -1, max: 1, noNaN: true }))
  .map(([hi, share]): DoubleDouble => {
    const lo = hi * share * 2 ** -54
    return exactSum(hi, lo)
  })

/** |a − b| ≤ 2⁻¹⁰⁰·|b|, in exact arithmetic. */
function agrees(a: bigint, b: bigint): boolean {
  const error = a > b ? a - b : b - a
  const size = b < 0n ? -b : b
  return error <= (size >> 100n) + 1n
}

describe('double-double arithmetic', () => {
  test('a sum and a product of doubles are exact', () => {
    fc.assert(
      fc.property(number, number, (a, b) => {
        expect(exactly(exactSum(a, b))).toBe(exact(a) + exact(b))
        expect(exactly(exactProduct(a, b))).toBe((exact(a) * exact(b)) >> unit)
      }),
    )
  })

  test('sums, products, quotients and roots have 30 digits', () => {
    fc.assert(
      fc.property(wide, wide, (a, b) => {
        const [x, y] = [exactly(a), exactly(b)]
        expect(agrees(exactly(add(a, b)), x + y)).toBe(true)
        expect(agrees(exactly(subtract(a, b)), x - y)).toBe(true)
        expect(agrees(exactly(multiply(a, b)), (x * y) >> unit)).toBe(true)
        if (Math.abs(b.hi) > 1e-6 && a.hi !== 0)
          expect(agrees(exactly(divide(a, b)), (x << unit) / y)).toBe(true)
        const square = multiply(a, a)
        const root = exactly(squareRoot(square))
        expect(agrees(root, x < 0n ? -x : x)).toBe(true)
      }),
    )
  })

  test('a whole power is repeated multiplication', () => {
    // 1.1 as a double is 1.100000000000000088817841970012523; its tenth power to 32 digits from exact arithmetic.
    const value = wholePower({ hi: 1.1, lo: 0 }, 10)
    const expected = (exact(1.1) ** 10n) >> (9n * unit)
    expect(agrees(exactly(value), expected)).toBe(true)
  })

  test('kernels over vectors agree with one entry at a time', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(wide, wide), { minLength: 1, maxLength: 12 }), wide, (pairs, c) => {
        const vector = (which: 0 | 1): Paired => ({
          hi: Float64Array.from(pairs, (pair) => pair[which].hi),
          lo: Float64Array.from(pairs, (pair) => pair[which].lo),
        })
        const [x, y] = [vector(0), vector(1)]
        const sum = pairs.reduce((total, [a, b]) => total + ((exactly(a) * exactly(b)) >> unit), 0n)
        const size = pairs.reduce((total, [a, b]) => {
          const term = (exactly(a) * exactly(b)) >> unit
          return total + (term < 0n ? -term : term)
        }, 0n)
        const error = exactly(dot(x, y, 0, pairs.length)) - sum
        expect((error < 0n ? -error : error) <= (size >> 98n) + 1n).toBe(true)
        addMultiple(y, c, x, 0, pairs.length)
        pairs.forEach(([a, b], i) => {
          const product = (exactly(c) * exactly(a)) >> unit
          const bound =
            ((product < 0n ? -product : product) + (exactly(b) < 0n ? -exactly(b) : exactly(b))) >> 100n
          const difference = exactly(entry(y, i)) - exactly(b) - product
          expect((difference < 0n ? -difference : difference) <= bound + 1n).toBe(true)
        })
      }),
    )
  })
})
