import { expect, test } from 'vitest'
import { driftsFound, lotsFound, recipesFound } from './known-truth.ts'

// Few of each, as they take time; the rates of 200 and more are counted in tests/long/known-truth.test.ts.

test('the recipe by the demo’s sweep is right in at least 11 of 12 studies, a wafer of another day in 10 intervals (95 %)', () => {
  const { held, right } = recipesFound(12)
  // Of 12 at 95 % fewer than 10 come by chance once in 50 times.
  expect(held.count).toBeGreaterThanOrEqual(10)
  expect(right.count).toBeGreaterThanOrEqual(11)
}, 60_000)

test('lot B of the demo: 1.8 % within the interval in at least 36 of 40 studies (95 % ± 3 %), never called equal', () => {
  const { held, equal } = lotsFound(40)
  expect(held.count).toBeGreaterThanOrEqual(36)
  expect(equal.count).toBe(0)
}, 60_000)

test('the ageing bottle of the demo is called a trend in 8 of 8 studies', () => {
  const { trend, held } = driftsFound(8)
  expect(trend.count).toBe(8)
  expect(held.count).toBeGreaterThanOrEqual(6)
}, 60_000)
