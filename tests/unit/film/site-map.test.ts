import { describe, expect, test } from 'vitest'
import { siteMapNames } from '../../../shared/contract/things.ts'
import { siteMap } from '../../../shared/film/site-map.ts'

const map = (name: (typeof siteMapNames)[number]) => siteMap({ name, diameterMm: 100, edgeExclusionMm: 6 })
const radius = (site: { xMm: number; yMm: number }) => Math.hypot(site.xMm, site.yMm)

describe('a site map', () => {
  test.each([
    ['5', [1, 4]],
    ['9', [1, 4, 4]],
    ['9 ring', [1, 8]],
    ['13', [1, 4, 8]],
    ['17', [1, 8, 8]],
    ['25', [1, 8, 16]],
    ['49', [1, 8, 16, 24]],
  ] as const)('%s holds rings of %j sites', (name, counts) => {
    const sites = map(name)
    const radii = sites.map((site) => radius(site).toFixed(6))
    expect([...new Set(radii)].map((r) => radii.filter((other) => other === r).length)).toEqual([...counts])
    expect(sites.map((site) => site.site)).toEqual(sites.map((_, i) => i + 1))
  })

  test.each(siteMapNames)(
    '%s starts in the centre, ends on the edge exclusion and never passes it',
    (name) => {
      const sites = map(name)
      expect(sites[0]).toEqual({ site: 1, xMm: 0, yMm: 0 })
      for (const site of sites) expect(radius(site)).toBeLessThanOrEqual(44 + 1e-6)
      expect(radius(sites.at(-1) as (typeof sites)[number])).toBeCloseTo(44, 6)
    },
  )

  test.each(siteMapNames)(
    '%s is balanced: its sites average to the centre, and no two are the same',
    (name) => {
      const sites = map(name)
      expect(sites.reduce((sum, site) => sum + site.xMm, 0)).toBeCloseTo(0, 6)
      expect(sites.reduce((sum, site) => sum + site.yMm, 0)).toBeCloseTo(0, 6)
      expect(new Set(sites.map((site) => `${site.xMm} ${site.yMm}`)).size).toBe(sites.length)
    },
  )

  test('nine sites are 1 + 4 + 4: the inner ring at half the outer radius, turned by 45°', () => {
    const inner = 22 * Math.SQRT1_2
    const expected = [
      [0, 0],
      ...[
        [inner, inner],
        [-inner, inner],
        [-inner, -inner],
        [inner, -inner],
      ],
      ...[
        [44, 0],
        [0, 44],
        [-44, 0],
        [0, -44],
      ],
    ]
    map('9').forEach((site, i) => {
      expect(site.xMm).toBeCloseTo(expected[i]?.[0] as number, 9)
      expect(site.yMm).toBeCloseTo(expected[i]?.[1] as number, 9)
    })
  })

  test('an exclusion that leaves nothing to measure is refused', () => {
    expect(() => siteMap({ name: '9', diameterMm: 100, edgeExclusionMm: 50 })).toThrow(RangeError)
    expect(() => siteMap({ name: '9', diameterMm: 100, edgeExclusionMm: Number.NaN })).toThrow(RangeError)
  })
})
