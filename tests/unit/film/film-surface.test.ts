import fc from 'fast-check'
import { expect, test } from 'vitest'
import { filmSurface } from '../../../shared/film/film-surface.ts'
import { siteMap } from '../../../shared/film/site-map.ts'

test('the surface goes through the readings that stand on the grid', () => {
  // Radius 50 and 11 columns: grid points every 10 mm.
  const readings = [
    { xMm: 0, yMm: 0, value: 1500 },
    { xMm: 40, yMm: -20, value: 1510 },
  ]
  const values = filmSurface(readings, [100, 100], 11)
  expect(values[5 * 11 + 5]).toBe(1500)
  expect(values[3 * 11 + 9]).toBe(1510)
  // Halfway between two readings both count alike.
  expect(values[4 * 11 + 7]).toBeCloseTo(1505, 9)
})

test('it never leaves the range of the readings, and an even film is even', () => {
  const sites = siteMap({ name: '9', diameterMm: 100, edgeExclusionMm: 6 })
  const nine = fc.array(fc.double({ min: 1000, max: 2000, noNaN: true }), { minLength: 9, maxLength: 9 })
  fc.assert(
    fc.property(nine, (values) => {
      const readings = sites.map((site, i) => ({ ...site, value: values[i] as number }))
      const low = Math.min(...values)
      const high = Math.max(...values)
      for (const value of filmSurface(readings, [100, 100], 15)) {
        expect(value).toBeGreaterThanOrEqual(low - 1e-9)
        expect(value).toBeLessThanOrEqual(high + 1e-9)
      }
    }),
  )
})
