import { expect, test } from 'vitest'
import { driftsFound, lotsFound, recipesFound } from './known-truth.ts'

// Few of each, as they take time; the rates of 200 and more are counted in tests/long/known-truth.test.ts.

test('the recipe by the demo’s sweep is right, and its interval holds a wafer of another day', () => {
  const { held, right } = recipesFound(2)
  expect(held.count).toBe(2)
  expect(right.count).toBe(2)
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
