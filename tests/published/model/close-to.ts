import { expect } from 'vitest'

/** Expects a relative error of at most `relative` (1e-12 unless given), and a number at all. */
export function closeTo(actual: number | null | undefined, expected: number, relative = 1e-12): void {
  const error = Math.abs((actual ?? Number.NaN) - expected) / Math.abs(expected === 0 ? 1 : expected)
  expect(error, `${actual} instead of ${expected}`).toBeLessThanOrEqual(relative)
}
