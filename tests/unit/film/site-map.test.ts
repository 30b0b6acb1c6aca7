import { describe, expect, test } from 'vitest'
import { lineMaps, ringMaps, type siteMapNames, squareMaps } from '../../../shared/contract/choices.ts'
import { fewerSites, siteMap } from '../../../shared/film/site-map.ts'

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

  test.each(ringMaps)('%s starts in the centre, ends on the edge exclusion and never passes it', (name) => {
    const sites = map(name)
    expect(sites[0]).toEqual({ site: 1, xMm: 0, yMm: 0 })
    for (const site of sites) expect(radius(site)).toBeLessThanOrEqual(44 + 1e-6)
    expect(radius(sites.at(-1) as (typeof sites)[number])).toBeCloseTo(44, 6)
  })

  test.each([...ringMaps, ...squareMaps, ...lineMaps])(
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

  test.each(squareMaps)('%s is a grid of so many sites, its corners on the edge exclusion', (name) => {
    const sites = map(name)
    const across = Math.sqrt(sites.length)
    expect(sites).toHaveLength(Number.parseInt(name, 10))
    const half = 44 * Math.SQRT1_2
    const step = (2 * half) / (across - 1)
    sites.forEach(({ xMm, yMm }, i) => {
      expect(xMm).toBeCloseTo(-half + step * (i % across), 8)
      expect(yMm).toBeCloseTo(half - step * Math.floor(i / across), 8)
    })
    expect(Math.max(...sites.map(radius))).toBeCloseTo(44, 8)
  })

  test.each(lineMaps)('%s runs along its direction from edge to edge', (name) => {
    const sites = siteMap({ name, diameterMm: 100, edgeExclusionMm: 6, lineDirection: 30 })
    expect(sites).toHaveLength(Number.parseInt(name, 10))
    sites.forEach(({ xMm, yMm }, i) => {
      const along = -44 + (88 * i) / (sites.length - 1)
      expect(xMm).toBeCloseTo((along * Math.sqrt(3)) / 2, 8)
      expect(yMm).toBeCloseTo(along / 2, 8)
    })
  })

  test('on a rectangle squares reach its corners, lines its sides, and rings touch all four sides', () => {
    const piece = {
      substrateShape: 'rectangle',
      diameterMm: 1,
      widthMm: 30,
      heightMm: 20,
      edgeExclusionMm: 2,
    } as const
    const corners = siteMap({ ...piece, name: '9 square' })
    expect(corners[0]).toEqual({ site: 1, xMm: -13, yMm: 8 })
    expect(corners[4]).toEqual({ site: 5, xMm: 0, yMm: 0 })
    expect(corners[8]).toEqual({ site: 9, xMm: 13, yMm: -8 })
    const ends = (lineDirection: number) => siteMap({ ...piece, name: '5 line', lineDirection }).at(-1)
    expect(ends(0)).toEqual({ site: 5, xMm: 13, yMm: 0 })
    expect(ends(90)).toEqual({ site: 5, xMm: 0, yMm: 8 })
    expect(ends(45)).toEqual({ site: 5, xMm: 8, yMm: 8 })
    expect(siteMap({ ...piece, name: '5' }).slice(1)).toEqual([
      { site: 2, xMm: 13, yMm: 0 },
      { site: 3, xMm: 0, yMm: 8 },
      { site: 4, xMm: -13, yMm: 0 },
      { site: 5, xMm: 0, yMm: -8 },
    ])
  })

  test('an own map is as it was given', () => {
    const ownSites = { name: 'Corners', sites: [{ site: 7, xMm: 3, yMm: -4 }] }
    expect(siteMap({ name: 'own', diameterMm: 100, edgeExclusionMm: 6, ownSites })).toEqual(ownSites.sites)
    expect(siteMap({ name: 'own', diameterMm: 100, edgeExclusionMm: 6, ownSites: null })).toEqual([])
  })

  test('the smaller map of the same kind takes fewer readings', () => {
    expect(fewerSites('25 square')).toEqual({ map: '9 square', sites: 9, now: 25 })
    expect(fewerSites('17 line')).toEqual({ map: '13 line', sites: 13, now: 17 })
    expect(fewerSites('9')).toEqual({ map: '5', sites: 5, now: 9 })
    expect(fewerSites('5 line')).toBeNull()
    expect(fewerSites('own')).toBeNull()
  })

  test('an exclusion that leaves nothing to measure is refused', () => {
    expect(() => siteMap({ name: '9', diameterMm: 100, edgeExclusionMm: 50 })).toThrow(RangeError)
    expect(() => siteMap({ name: '9', diameterMm: 100, edgeExclusionMm: Number.NaN })).toThrow(RangeError)
  })
})
