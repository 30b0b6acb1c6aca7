import { expect, test } from 'vitest'
import { tQuantile } from '../../../shared/model/distributions.ts'
import { compareGroups } from '../../../shared/model/lots.ts'
import { closeTo } from './close-to.ts'
import { dataTable } from './data-table.ts'

// Yields of oats by nitrogen and variety in blocks (Yates, 1935; nlme ships them as Oats), seven rows taken out: blocks
// stand for sessions, varieties for lots. Expected: lots-over-days.R, nlme and lmerTest.
const left = new Set([1, 2, 7, 20, 33, 41, 58].map((row) => row - 1))
const all = dataTable('oats_split_plot.csv')
const columns = all.columns.map(({ name, values }) => ({
  name: name === 'block' ? 'session' : name,
  values: values.filter((_, row) => !left.has(row)),
}))
const answer = compareGroups({
  table: { columns, rows: all.rows - left.size },
  model: 'log(yield) ~ nitro',
  by: 'variety',
  target: null,
  margin: 0.1,
  overDays: { thickness: false },
})
if (!answer.ok) throw new Error(answer.problems[0]?.message)
const { shifts, slopes, tests, variation, at } = answer.value

/** The standard error in an interval. */
const errorOf = (lower: number, upper: number, df: number) => (upper - lower) / 2 / tQuantile(0.975, df)

test('the shift of each group and its error, what blocks share taken out, are those of nlme, with lmerTest’s degrees of freedom', () => {
  expect(at).toEqual({ nitro: 0.4, variety: expect.any(String) })
  const expected = [
    [0.06209924092, 0.05152579116, 53.83088127],
    [0.1348489947, 0.04990473059, 53.86048813],
  ] as const
  expected.forEach(([estimate, error, df], i) => {
    const { ratio, lower, upper, df: own } = shifts[i]!
    closeTo(Math.log(ratio), estimate, 1e-6)
    closeTo(errorOf(Math.log(lower as number), Math.log(upper as number), own), error, 1e-6)
    // lmerTest takes the curvature at the maximum by differences, this program what is expected of it.
    closeTo(own, df, 0.01)
  })
})

test('so are differences of slopes', () => {
  const expected = [
    [-0.3342394812, -0.7669995515, 0.09852058985],
    [-0.3450978853, -0.7681829166, 0.07798714693],
  ] as const
  expected.forEach(([estimate, lower, upper], i) => {
    closeTo(slopes[i]?.difference, estimate, 1e-6)
    closeTo(slopes[i]?.lower, lower, 1e-3)
    closeTo(slopes[i]?.upper, upper, 1e-3)
  })
})

test('the tests of one curve and of parallel curves have the F of nlme’s analysis of variance', () => {
  const [same, parallel] = tests
  closeTo(same?.f, 5.96760476, 1e-6)
  closeTo(parallel?.f, 1.70141248, 1e-6)
  closeTo(parallel?.df2, 54.03751748, 0.01)
  closeTo(parallel?.p, 0.19205, 1e-3)
})

test('sessions have the variance that nlme finds', () => {
  expect(variation.map(({ group }) => group)).toEqual(['session', 'residual'])
  closeTo(variation[0]?.standardDeviation, 0.112429301302, 1e-5)
  closeTo(variation[1]?.standardDeviation, 0.155028182822, 1e-5)
})
