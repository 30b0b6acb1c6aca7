import { expect, test } from 'vitest'
import { keptBy } from '../../../electron/engine/compute/kept.ts'

test('what was made is kept by all that it was made from, and made anew where any of it has changed', () => {
  let made = 0
  const ask = (values: number[]) => keptBy(['mean', { values }], () => ++made)
  expect([ask([1, 2]), ask([1, 2]), ask([1, 3]), ask([1, 2])]).toEqual([1, 1, 2, 1])
  // Only so many are kept, the latest of them.
  for (let i = 0; i < 20; i++) ask([i])
  expect(ask([19])).toBe(22)
  expect(ask([1, 2])).toBe(23)
})
