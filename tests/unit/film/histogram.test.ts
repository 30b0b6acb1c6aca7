import fc from 'fast-check'
import { expect, test } from 'vitest'
import { histogram } from '../../../shared/film/histogram.ts'

test('every value is counted once, in the class between its edges', () => {
  const values = fc.array(fc.integer({ min: 5000, max: 20000 }), { minLength: 2, maxLength: 60 })
  fc.assert(
    fc.property(values, (whole) => {
      const list = whole.map((value) => value / 8)
      const classes = histogram(list)
      if (new Set(list).size === 1) {
        expect(classes).toBeNull()
        return
      }
      const { edges, counts } = classes!
      expect(edges.length).toBe(counts.length + 1)
      counts.forEach((count, k) => {
        expect(list.filter((value) => value >= edges[k]! && value < edges[k + 1]!).length).toBe(count)
      })
      expect(counts.reduce((a, b) => a + b)).toBe(list.length)
      expect(counts[0]! > 0 && counts.at(-1)! > 0).toBe(true)
    }),
  )
})

test('25 sites make about five round classes', () => {
  const classes = histogram(Array.from({ length: 25 }, (_, i) => 1500 + i))
  expect(classes).toEqual({ edges: [1500, 1505, 1510, 1515, 1520, 1525], counts: [5, 5, 5, 5, 5] })
})
