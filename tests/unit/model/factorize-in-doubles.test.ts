import fc from 'fast-check'
import { expect, test } from 'vitest'
import { type Paired, sumOfSquares } from '../../../shared/model/double-double.ts'
import { turnInDoubles } from '../../../shared/model/factorize-in-doubles.ts'
import { inverseHalf, type LeastSquares, leastSquares } from '../../../shared/model/least-squares.ts'
import { seeded } from '../../../shared/random.ts'

const plain = (values: ArrayLike<number>): Paired => ({
  hi: Float64Array.from(values),
  lo: new Float64Array(values.length),
})

/** A constant, columns of which each leans on the one before, and a response about a level of its own. */
function example(options: { seed: number; rows: number; p: number; lean: number; level: number }) {
  const { seed, rows, p, lean, level } = options
  const random = seeded(seed)
  const normals = () => Float64Array.from({ length: rows }, () => random.normal())
  const columns = [plain(new Float64Array(rows).fill(1))]
  for (let k = 1; k < p; k++) {
    const own = normals()
    const before = columns[k - 1] as Paired
    columns.push(plain(own.map((value, i) => 10 ** (k - 3) * (value + lean * (before.hi[i] as number)))))
  }
  const response = plain(normals().map((e, i) => level + e + 0.1 * (columns[1]?.hi[i] ?? 0)))
  return { columns, response }
}

/** The largest difference of two fits beside what is estimated: relative, or beside the standard error. */
function difference(a: LeastSquares, b: LeastSquares): number {
  const half = [inverseHalf(a), inverseHalf(b)] as const
  const deviation = Math.sqrt(b.residualSumOfSquares / b.df)
  const differences = b.factorization.kept.flatMap((_, k) => {
    const errors = half.map((columns) => Math.sqrt(sumOfSquares(columns[k] as Paired).hi)) as [number, number]
    const [one, other] = [a.estimates.hi[k] as number, b.estimates.hi[k] as number]
    const [square, otherSquare] = [(a.effects.hi[k] as number) ** 2, (b.effects.hi[k] as number) ** 2]
    return [
      Math.abs(one - other) / Math.max(Math.abs(other), deviation * errors[1]),
      Math.abs(errors[0] / errors[1] - 1),
      Math.abs(square - otherSquare) / Math.max(otherSquare, deviation ** 2),
    ]
  })
  const left = Math.max(...b.residuals.map((value, i) => Math.abs(value - (a.residuals[i] as number))))
  return Math.max(
    ...differences,
    Math.abs(a.residualSumOfSquares / b.residualSumOfSquares - 1),
    left / deviation,
  )
}

test('where doubles answer, they give what double-double arithmetic gives to 10 digits', () => {
  let answered = 0
  fc.assert(
    fc.property(
      fc.record({
        seed: fc.integer({ min: 1, max: 1e6 }),
        rows: fc.integer({ min: 20, max: 3000 }),
        p: fc.integer({ min: 1, max: 12 }),
        lean: fc.constantFrom(0, 1, 30, 1000),
        level: fc.constantFrom(0, 1, 100, 5000),
      }),
      (options) => {
        const { columns, response } = example(options)
        if (!turnInDoubles(columns, response)) return
        answered++
        const [quick, careful] = [0, Number.POSITIVE_INFINITY].map((large) =>
          leastSquares(columns, response, large),
        ) as [LeastSquares, LeastSquares]
        expect(quick.factorization.kept).toEqual(careful.factorization.kept)
        expect(difference(quick, careful)).toBeLessThan(1e-10)
      },
    ),
    { seed: 7, numRuns: 200 },
  )
  expect(answered).toBeGreaterThan(80)
})

test.each([
  ['a column that is a combination of others', { lean: 0, level: 0 }, (x: Paired[]) => sum(x[1], x[2])],
  ['one that nearly is', { lean: 0, level: 0 }, (x: Paired[]) => sum(x[1], x[2], 1e-6)],
  ['columns that lean on each other', { lean: 1e5, level: 0 }, null],
  ['a response that is nearly constant', { lean: 0, level: 1e5 }, null],
])('doubles leave to double-double arithmetic %s', (_, { lean, level }, extra) => {
  const { columns, response } = example({ seed: 3, rows: 300, p: 4, lean, level })
  expect(turnInDoubles(extra ? [...columns, extra(columns)] : columns, response)).toBeNull()
  const easy = example({ seed: 3, rows: 300, p: 4, lean: 0, level: 0 })
  expect(turnInDoubles(easy.columns, easy.response)).not.toBeNull()
})

function sum(a: Paired | undefined, b: Paired | undefined, wave = 0): Paired {
  const values = a?.hi.map((value, i) => value + (b?.hi[i] ?? 0)) ?? []
  return plain(Float64Array.from(values, (value, i) => value * (1 + wave * Math.sin(i))))
}
