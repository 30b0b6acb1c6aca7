import { expect, test } from 'vitest'
import { compareWays } from './wafers-needed.ts'

// The counts of 200 studies are in tests/long/wafers-needed.test.ts.
test('a recipe of 1500 ± 30 nm by the speed alone is confirmed with few wafers and rightly, in 12 of 12 studies', () => {
  const { own, ratio, grid } = compareWays({ question: 'thickness', tolerance: 30, aDay: 1, times: 12 })
  expect(own).toMatchObject({ confirmed: { count: 12 }, wrong: { count: 0 } })
  // Three of the plan and three of the confirmation; by hand one fewer, by a grid of six speeds three more.
  expect(own.median).toBe(6)
  expect(ratio.median).toBe(5)
  expect(grid.median).toBe(9)
  expect(own.yield).toBeGreaterThan(0.95)
}, 60_000)

test('an even film is confirmed in a cassette where a correction of the speed alone cannot get it', () => {
  const { own, ratio } = compareWays({ question: 'evenness', tolerance: 30, aDay: 1, times: 3 })
  expect(own).toMatchObject({ confirmed: { count: 3 }, wrong: { count: 0 } })
  expect(own.ninth).toBeLessThanOrEqual(12)
  expect(ratio.confirmed.count).toBeLessThan(3)
}, 60_000)
