import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  cholesky,
  eigenOf,
  inverseOf,
  logDeterminantOf,
  product,
  solveSymmetric,
  times,
} from '../../../shared/model/symmetric.ts'
import { seeded } from '../../../shared/random.ts'

/** B·B′ + I with entries of B from the normal distribution. */
function positive(n: number, seed: number): Float64Array {
  const random = seeded(seed)
  const b = Array.from({ length: n * n }, () => random.normal())
  return Float64Array.from({ length: n * n }, (_, at) => {
    const [i, j] = [at % n, Math.floor(at / n)]
    let sum = i === j ? 1 : 0
    for (let k = 0; k < n; k++) sum += (b[i + k * n] as number) * (b[j + k * n] as number)
    return sum
  })
}

const identity = (n: number) => Float64Array.from({ length: n * n }, (_, at) => (at % (n + 1) === 0 ? 1 : 0))
const largest = (a: Float64Array, b: Float64Array) =>
  Math.max(...a.map((value, i) => Math.abs(value - (b[i] ?? 0))))
const some = fc.record({ n: fc.integer({ min: 1, max: 23 }), seed: fc.integer() })

describe('symmetric matrices', () => {
  test('Cholesky, solving, inverting and determinant agree', () => {
    fc.assert(
      fc.property(some, ({ n, seed }) => {
        const a = positive(n, seed)
        const l = cholesky(a, n) as Float64Array
        const inverse = inverseOf(l, n)
        expect(largest(product(a, inverse, n), identity(n))).toBeLessThan(1e-9)
        const x = Float64Array.from({ length: n }, (_, i) => i - 2)
        expect(largest(solveSymmetric(l, n, times(a, n, x)), x)).toBeLessThan(1e-8)
        const { values, vectors } = eigenOf(a, n)
        const sum = values.reduce((total, value) => total + Math.log(value), 0)
        expect(logDeterminantOf(l, n)).toBeCloseTo(sum, 8)
        values.forEach((value, k) => {
          const v = vectors.subarray(k * n, k * n + n)
          expect(
            largest(
              times(a, n, v),
              v.map((entry) => entry * value),
            ),
          ).toBeLessThan(1e-9 * (1 + value))
        })
      }),
      { numRuns: 40 },
    )
  })

  test('a matrix of whole numbers by hand', () => {
    // [[4, 2], [2, 10]] = [[2, 0], [1, 3]]·[[2, 1], [0, 3]].
    const l = cholesky(Float64Array.from([4, 2, 2, 10]), 2) as Float64Array
    expect([...l]).toEqual([2, 1, 0, 3])
    inverseOf(l, 2).forEach((value, at) => {
      expect(value).toBeCloseTo(([10, -2, -2, 4][at] as number) / 36, 15)
    })
  })

  test('what is not positive definite has no factor', () => {
    expect(cholesky(Float64Array.from([1, 2, 2, 1]), 2)).toBeNull()
    expect(cholesky(Float64Array.from([0]), 1)).toBeNull()
    expect(cholesky(Float64Array.from([Number.NaN]), 1)).toBeNull()
  })
})
