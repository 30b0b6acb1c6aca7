import { expect, test } from 'vitest'
import { siteMarks } from '../../../shared/charts/site-marks.ts'
import { waferOutline } from '../../../shared/charts/wafer-outline.ts'
import { lineMaps, ringMaps, squareMaps } from '../../../shared/contract/choices.ts'
import { siteMap } from '../../../shared/film/site-map.ts'

const map = (name: Parameters<typeof siteMap>[0]['name']) =>
  siteMap({ name, diameterMm: 100, edgeExclusionMm: 6 })

test.each([...ringMaps, ...squareMaps, ...lineMaps])('the marks of %s do not cover each other', (name) => {
  const sites = map(name)
  const { radius } = siteMarks(sites, 100)
  expect(radius).toBeGreaterThan(1)
  sites.forEach((a, i) => {
    for (const b of sites.slice(0, i))
      expect(Math.hypot(a.xMm - b.xMm, a.yMm - b.yMm)).toBeGreaterThan(2 * radius)
  })
})

test('values are written where they fit, and of crowded sites each fifth is numbered', () => {
  expect(siteMarks(map('25'), 100).values).toBe(true)
  expect(siteMarks(map('17 line'), 100).values).toBe(false)
  const { isNumbered } = siteMarks(map('25 line'), 100)
  const numbered = Array.from({ length: 25 }, (_, i) => i + 1).filter((site) => isNumbered(site - 1))
  expect(numbered).toEqual([1, 5, 10, 15, 20, 25])
})

test('every site of a map of 49 is numbered, of a crowd of a thousand none', () => {
  const numbers = (sites: { xMm: number; yMm: number }[]) => {
    const { isNumbered } = siteMarks(sites, 100)
    return sites.filter((_, index) => isNumbered(index)).length
  }
  expect(numbers(map('49'))).toBe(49)
  const crowd = Array.from({ length: 1000 }, (_, i) => ({ xMm: (i % 32) - 16, yMm: Math.floor(i / 32) - 16 }))
  expect(numbers(crowd)).toBe(0)
})

test('the outline has its flat or notch at the bottom, and a rectangle its corners', () => {
  const ys = (path: string) => [...path.matchAll(/[ML] [-\d.]+ ([-\d.]+)/g)].map(([, y]) => Number(y))
  // A flat of 32.5 mm on 100 mm lies √(50² − 16.25²) mm below the centre; SVG counts y downwards.
  expect(ys(waferOutline({ diameterMm: 100 }))[0]).toBeCloseTo(Math.sqrt(50 ** 2 - 16.25 ** 2), 3)
  const [rim, tip] = ys(waferOutline({ substrateShape: 'notch', diameterMm: 200 })) as [number, number]
  expect(rim).toBeGreaterThan(99)
  expect(tip).toBeLessThan(rim)
  const piece = { substrateShape: 'rectangle', diameterMm: 1, widthMm: 60, heightMm: 30 } as const
  expect(waferOutline(piece)).toBe('M 30 15 H -30 V -15 H 30 Z')
})
