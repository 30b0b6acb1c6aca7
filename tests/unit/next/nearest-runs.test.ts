import { expect, test } from 'vitest'
import { nearestRuns } from '../../../shared/next/nearest-runs.ts'

const factors = [
  { name: 'speed', role: 'speed' as const, low: 2000, high: 4000 },
  { name: 'bake', role: 'bake temperature' as const, low: 90, high: 110 },
]
const runs = [
  { code: 'near in speed', settings: { speed: 3000, bake: 110 }, lot: 'A', runOrder: 1 },
  { code: 'near in both', settings: { speed: 3200, bake: 101 }, lot: 'A', runOrder: 2 },
  { code: 'the same, but another lot', settings: { speed: 3000, bake: 100 }, lot: 'B', runOrder: 3 },
  { code: 'near in both, later', settings: { speed: 2800, bake: 99 }, lot: 'A', runOrder: 4 },
]
const codes = (lot: string | undefined, count: number) =>
  nearestRuns(runs, factors, { speed: 3000, bake: 100, ...(lot && { lot }) }, count).map(({ code }) => code)

test('by shares of the planned ranges, the later of two as near, another lot a whole range away', () => {
  expect(codes('A', 4)).toEqual([
    'near in both, later',
    'near in both',
    'near in speed',
    'the same, but another lot',
  ])
  expect(codes('B', 1)).toEqual(['the same, but another lot'])
})

test('where the recipe names no lot, lots do not count; there are no more runs than there are', () => {
  expect(codes(undefined, 9)[0]).toBe('the same, but another lot')
  expect(codes(undefined, 9)).toHaveLength(4)
})
