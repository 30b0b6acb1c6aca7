import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type Paired, sumOfSquares } from '../../../shared/model/double-double.ts'
import { factorize, leverages } from '../../../shared/model/factorize.ts'
import { fitModel } from '../../../shared/model/fit.ts'
import { inverseHalf, leastSquares } from '../../../shared/model/least-squares.ts'

const plain = (values: readonly number[]): Paired => ({
  hi: Float64Array.from(values),
  lo: new Float64Array(values.length),
})

/** Exact solution of the normal equations of whole numbers by Cramer's rule, as fractions over one determinant. */
function exactly(rows: readonly (readonly number[])[], y: readonly number[]) {
  const p = rows[0]?.length ?? 0
  const big = (value: number) => BigInt(value)
  const products = Array.from({ length: p }, (_, j) =>
    Array.from({ length: p }, (_, k) =>
      rows.reduce((sum, row) => sum + big(row[j] as number) * big(row[k] as number), 0n),
    ),
  )
  const right = Array.from({ length: p }, (_, j) =>
    rows.reduce((sum, row, i) => sum + big(row[j] as number) * big(y[i] as number), 0n),
  )
  const whole = determinant(products)
  const withColumn = (k: number, column: bigint[]) =>
    products.map((row, j) => row.map((value, c) => (c === k ? (column[j] as bigint) : value)))
  const unit = (k: number) => Array.from({ length: p }, (_, j) => (j === k ? 1n : 0n))
  const numerators = right.map((_, k) => determinant(withColumn(k, right)))
  const squares = y.reduce((sum, value) => sum + big(value) ** 2n, 0n)
  const explained = numerators.reduce((sum, value, k) => sum + value * (right[k] as bigint), 0n)
  return {
    whole,
    estimates: numerators.map((value) => ratio(value, whole)),
    variances: right.map((_, k) => ratio(determinant(withColumn(k, unit(k))), whole)),
    residualSumOfSquares: ratio(squares * whole - explained, whole),
  }
}

function determinant(matrix: bigint[][]): bigint {
  if (matrix.length === 0) return 1n
  const [first = [], ...others] = matrix
  return first.reduce((sum, value, k) => {
    if (value === 0n) return sum
    const minor = determinant(others.map((row) => row.filter((_, c) => c !== k)))
    return sum + (k % 2 === 0 ? value : -value) * minor
  }, 0n)
}

/** A quotient of whole numbers as a double, right to its last digits. */
function ratio(a: bigint, b: bigint): number {
  if (b === 0n) return Number.NaN
  const sign = a < 0n === b < 0n ? 1 : -1
  const [top, bottom] = [a < 0n ? -a : a, b < 0n ? -b : b]
  const shift = BigInt(Math.max(0, 80 + bottom.toString(2).length - top.toString(2).length))
  return (sign * Number((top << shift) / bottom)) / 2 ** Number(shift)
}

const near = (found: number | undefined, wanted: number, relative: number) =>
  expect(Math.abs((found ?? Number.NaN) - wanted), `${found} instead of ${wanted}`).toBeLessThanOrEqual(
    relative * Math.max(Math.abs(wanted), 1e-12),
  )

describe('against exact rational arithmetic', () => {
  const problem = fc.integer({ min: 1, max: 4 }).chain((p) =>
    fc.array(
      fc.record({
        x: fc.array(fc.integer({ min: -60, max: 60 }), { minLength: p, maxLength: p }),
        y: fc.integer({ min: -500, max: 500 }),
      }),
      { minLength: p + 1, maxLength: 10 },
    ),
  )

  test('estimates, variances and residual squares of whole numbers have 14 digits; the rank is the exact one', () => {
    fc.assert(
      fc.property(problem, (rows) => {
        const x = rows.map((row) => row.x)
        const y = rows.map((row) => row.y)
        const p = x[0]?.length ?? 0
        const fit = leastSquares(
          Array.from({ length: p }, (_, k) => plain(x.map((row) => row[k] as number))),
          plain(y),
        )
        const exact = exactly(x, y)
        expect(fit.rank === p).toBe(exact.whole !== 0n)
        if (exact.whole === 0n) return
        const half = inverseHalf(fit)
        exact.estimates.forEach((estimate, k) => {
          near(fit.estimates.hi[k], estimate, 1e-14)
          near(sumOfSquares(half[k] as Paired).hi, exact.variances[k] as number, 1e-14)
        })
        near(fit.residualSumOfSquares, exact.residualSumOfSquares, 1e-14)
      }),
      { numRuns: 300 },
    )
  })
})

describe('the rank is decided as reliably as with pivoting', () => {
  /** Kahan's matrix, whose columns nearly depend on each other although no diagonal entry of its R is small. */
  const kahan = (size: number, angle: number) =>
    Array.from({ length: size }, (_, k) =>
      Array.from({ length: size }, (_, i) => {
        const scale = Math.sin(angle) ** i
        return i === k ? scale : i < k ? -Math.cos(angle) * scale : 0
      }),
    )

  test.each([
    [10, 1.2],
    [30, 1.2],
    [60, 1.3],
  ])('Kahan’s matrix of size %i keeps all columns and solves for ones to 10 digits', (size, angle) => {
    const columns = kahan(size, angle).map(plain)
    const y = columns.reduce(
      (sum, { hi }) => sum.map((value, i) => value + (hi[i] as number)),
      Array.from({ length: size }, () => 0),
    )
    const fit = leastSquares(columns, plain(y))
    expect(fit.rank).toBe(size)
    const residual = Array.from({ length: size }, (_, i) =>
      columns.reduce(
        (sum, { hi }, k) => sum + (hi[i] as number) * (fit.estimates.hi[k] as number),
        -(y[i] as number),
      ),
    )
    for (const value of residual) expect(Math.abs(value)).toBeLessThan(1e-12)
  })

  test('Kahan’s matrix with a column that is a sum of others sets just that one aside, wherever it stands', () => {
    const columns = kahan(12, 1.2).map((column) => [...column, 0])
    for (const place of [3, 7, 12]) {
      const [a = [], b = []] = [columns[0], columns[2]]
      const sum = a.map((value, i) => value + (b[i] as number))
      const all = [...columns.slice(0, place), sum, ...columns.slice(place)]
      const { kept, dropped } = factorize(all.map(plain), 13)
      expect(kept).toHaveLength(12)
      expect(dropped.map(({ column }) => column)).toEqual([place])
    }
  })

  test.each([1e-6, 1e-9, 1e-11])(
    'a column that differs from a sum of others by %f of itself is kept',
    (share) => {
      const rows = Array.from({ length: 20 }, (_, i) => i)
      const a = rows.map((i) => Math.sin(i))
      const b = rows.map((i) => Math.cos(2 * i))
      const near = rows.map((i) => ((a[i] as number) + (b[i] as number)) * (1 + share * Math.sin(5 * i)))
      expect(factorize([a, b, near].map(plain), 20).kept).toEqual([0, 1, 2])
      const same = rows.map((i) => (a[i] as number) + (b[i] as number))
      expect(factorize([a, b, same].map(plain), 20).kept).toEqual([0, 1])
    },
  )

  test('leverages sum to the rank', () => {
    const columns = kahan(10, 1.2).map((column) => plain([...column, 1, 2, 3]))
    const sum = leverages(factorize(columns, 13)).reduce((total, value) => total + value, 0)
    near(sum, 10, 1e-12)
  })
})

describe('a fit does not depend on how its data are put down', () => {
  const runs = fc.array(
    fc.record({
      a: fc.integer({ min: -50, max: 50 }),
      b: fc.integer({ min: -50, max: 50 }),
      y: fc.integer({ min: -500, max: 500 }),
    }),
    { minLength: 8, maxLength: 15 },
  )
  type Run = { a: number; b: number; y: number }
  const fitOf = (rows: Run[], model = 'y ~ a + b') => {
    const column = (name: keyof Run) => ({ name, values: rows.map((row) => row[name]) })
    const answer = fitModel({
      table: { columns: [column('a'), column('b'), column('y')], rows: rows.length },
      model,
    })
    if (!answer.ok) throw new Error(answer.problems[0]?.message)
    return answer.value.report()
  }
  const fitted = (rows: Run[], model?: string) => fitOf(rows, model).runs.map((run) => run.fitted)
  const close = (found: number[], wanted: number[]) =>
    found.forEach((value, i) => {
      expect(Math.abs(value - (wanted[i] as number))).toBeLessThan(1e-9)
    })

  test('order of runs, order of terms, scale and coding of columns, a constant added to the response', () => {
    fc.assert(
      fc.property(runs, (rows) => {
        const plainly = fitted(rows)
        close(fitted([...rows].reverse()).reverse(), plainly)
        close(fitted(rows, 'y ~ b + a'), plainly)
        close(fitted(rows.map((row) => ({ ...row, a: 1000 * row.a - 7, b: (row.b - 20) / 30 }))), plainly)
        const lifted = fitted(rows.map((row) => ({ ...row, y: row.y + 1_000_000 })))
        close(
          lifted.map((value) => value - 1_000_000),
          plainly,
        )
      }),
      { numRuns: 40 },
    )
  })

  test('the prediction sum of squares is that of leaving out one run after the other', () => {
    fc.assert(
      fc.property(runs, (rows) => {
        const fit = fitOf(rows)
        const others = rows.map((_, i) => fitOf(rows.filter((_, j) => j !== i)))
        // A run without which a term is lost has no prediction of its own.
        if (fit.terms.length < 3 || others.some(({ terms }) => terms.length < 3)) return
        const press = rows.reduce((sum, { a, b, y }, i) => {
          const [c = 0, ca = 0, cb = 0] = others[i]?.terms.map(({ estimate }) => estimate) ?? []
          return sum + (y - c - ca * a - cb * b) ** 2
        }, 0)
        expect(Math.abs((fit.press ?? Number.NaN) - press)).toBeLessThanOrEqual(1e-9 * (1 + press))
      }),
      { numRuns: 40 },
    )
  })
})
