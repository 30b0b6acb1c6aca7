import { expect, test } from 'vitest'
import { heldIn } from '../unit/next/released.ts'

const count = 400
const claimed = 0.95
// Degrees of freedom of sums are an approximation: two points below what is claimed, and three binomial errors.
const least = claimed - 0.02 - 3 * Math.sqrt((claimed * (1 - claimed)) / count)

// Counted in 400 confirmations each, binomial error 1.1 %: 92.8 to 97.3 % of the intervals hold 95 % of all wafers after a
// study of one session, 91.8 to 98.5 % after one of four, 93.3 to 97.8 % after one of eight. The least are for two days
// that differ ten times in variance more than wafers do.
const cases = [1, 4, 8].flatMap((sessions) =>
  [
    [1, 1, 1],
    [2, 2, 2],
    [3, 3],
    [1, 2, 4],
  ].flatMap((sizes) =>
    [
      [0.002, 0.005],
      [0.006, 0.005],
      [0.01, 0.003],
    ].map(([day, run]) => ({ sessions, sizes, day: day as number, run: run as number })),
  ),
)

test.each(cases)(
  'the interval for release holds what it claims: study of $sessions sessions, $sizes wafers a day, deviations $day of days and $run of wafers',
  (of) => {
    expect(heldIn(count, of) / count).toBeGreaterThan(least)
  },
  120_000,
)
