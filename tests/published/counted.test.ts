import { expect, test } from 'vitest'
import { counted, quantile } from '../../shared/counted.ts'

// scipy.stats.binomtest(k, n).proportion_ci(method='wilson').
test.each([
  [187, 200, 0.891980920700931, 0.9616236453508471],
  [200, 200, 0.9811546736227335, 1.0],
  [0, 12, 0.0, 0.24249400665524085],
  [3, 7, 0.1582198552514697, 0.7495416354723428],
])('Wilson’s interval for %i of %i', (count, of, lower, upper) => {
  const found = counted(Array.from({ length: of }, (_, i) => i < count))
  expect(found).toMatchObject({ count, of, share: count / of })
  expect(found.lower).toBeCloseTo(lower, 12)
  expect(found.upper).toBeCloseTo(upper, 12)
})

test('answers that there are not do not count', () => {
  expect(counted([null, true, false, null])).toMatchObject({ count: 1, of: 2, share: 0.5 })
  expect(counted([null])).toEqual({ count: 0, of: 0, share: null, lower: null, upper: null })
})

test('quantiles', () => {
  const values = [3.1, 1.2, 9.9, 4.4, 2.7, 8.3, 5.0]
  // numpy.quantile(values, [0.05, 0.25, 0.5, 0.75, 0.95]).
  const expected = [1.6500000000000001, 2.9000000000000004, 4.4, 6.65, 9.42]
  ;[0.05, 0.25, 0.5, 0.75, 0.95].forEach((share, i) => {
    expect(quantile(values, share)).toBeCloseTo(expected[i] as number, 12)
  })
  expect(quantile([], 0.5)).toBeNull()
})
