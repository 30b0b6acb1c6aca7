import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { lineMaps, ringMaps, squareMaps } from '../../../shared/contract/choices.ts'
import type { SiteMapName } from '../../../shared/contract/things.ts'
import { areaWeights } from '../../../shared/film/area-weights.ts'
import { siteMap } from '../../../shared/film/site-map.ts'
import {
  beyondEdge,
  type MeasuredArea,
  measuredArea,
  type Substrate,
} from '../../../shared/film/substrate.ts'

/** Every map that has a name, and maps of someone's own, on round substrates and on rectangles. */
const named = fc.constantFrom<SiteMapName>(...ringMaps, ...squareMaps, ...lineMaps)
const substrate: fc.Arbitrary<Substrate> = fc.oneof(
  fc.record({
    substrateShape: fc.constantFrom('flat' as const, 'notch' as const),
    diameterMm: fc.integer({ min: 25, max: 450 }),
    edgeExclusionMm: fc.integer({ min: 0, max: 10 }),
  }),
  fc.record({
    substrateShape: fc.constant('rectangle' as const),
    diameterMm: fc.constant(100),
    widthMm: fc.integer({ min: 10, max: 200 }),
    heightMm: fc.integer({ min: 10, max: 200 }),
    edgeExclusionMm: fc.integer({ min: 0, max: 4 }),
  }),
)
type Place = { x: number; y: number }
const mapped = fc
  .record({ substrate, name: named, lineDirection: fc.integer({ min: 0, max: 179 }) })
  .map(({ substrate, name, lineDirection }) => ({
    substrate,
    area: measuredArea(substrate),
    places: siteMap({ ...substrate, name, lineDirection }).map(({ xMm, yMm }) => ({ x: xMm, y: yMm })),
  }))
/** Sites drawn by lot, within the measured area, on a lattice so that no two all but coincide. */
const own = fc
  .record({
    substrate,
    shares: fc.uniqueArray(fc.tuple(fc.integer({ min: -7, max: 7 }), fc.integer({ min: -7, max: 7 })), {
      minLength: 1,
      maxLength: 30,
      selector: String,
    }),
  })
  .map(({ substrate, shares }) => {
    const area = measuredArea(substrate)
    const [right, up] = 'radius' in area ? [area.radius, area.radius] : [area.halfWidth, area.halfHeight]
    return { substrate, area, places: shares.map(([x, y]) => ({ x: (x * right) / 10, y: (y * up) / 10 })) }
  })
const anyMap = fc.oneof(mapped, own)

const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0)
const sizeOf = (area: MeasuredArea) =>
  'radius' in area ? Math.PI * area.radius ** 2 : 4 * area.halfWidth * area.halfHeight
const areasOf = (places: readonly Place[], area: MeasuredArea) =>
  areaWeights(places, area).map((weight) => weight * sizeOf(area))
const inUnit = (area: MeasuredArea, factor: number) =>
  Object.fromEntries(Object.entries(area).map(([side, mm]) => [side, mm * factor])) as MeasuredArea

describe('the areas of a map', () => {
  test('sum to the disc or rectangle within the exclusion, and none is negative', () => {
    fc.assert(
      fc.property(anyMap, ({ places, area }) => {
        const areas = areasOf(places, area)
        expect(sum(areas) / sizeOf(area)).toBeCloseTo(1, 10)
        expect(Math.min(...areas)).toBeGreaterThanOrEqual(0)
      }),
      { numRuns: 300 },
    )
  })

  test('go with their sites in whatever order these stand', () => {
    const shuffled = anyMap.chain(({ places, area }) =>
      fc
        .shuffledSubarray(
          places.map((_, i) => i),
          { minLength: places.length, maxLength: places.length },
        )
        .map((order) => ({ places, area, order })),
    )
    fc.assert(
      fc.property(shuffled, ({ places, area, order }) => {
        const straight = areaWeights(places, area)
        const mixed = areaWeights(
          order.map((i) => places[i] as Place),
          area,
        )
        order.forEach((i, k) => {
          expect(mixed[k]).toBeCloseTo(straight[i] as number, 10)
        })
      }),
    )
  })

  test('are the same shares in micrometres, millimetres and inches', () => {
    fc.assert(
      fc.property(anyMap, fc.constantFrom(1000, 1 / 25.4, 0.001), ({ places, area }, factor) => {
        const there = areaWeights(
          places.map(({ x, y }) => ({ x: x * factor, y: y * factor })),
          inUnit(area, factor),
        )
        areaWeights(places, area).forEach((weight, i) => {
          expect(there[i]).toBeCloseTo(weight, 10)
        })
      }),
    )
  })

  test('turn with a map that is turned by a right angle or seen in a mirror', () => {
    fc.assert(
      fc.property(anyMap, ({ places, area }) => {
        const turned = areaWeights(
          places.map(({ x, y }) => ({ x: -y, y: x })),
          'radius' in area ? area : { halfWidth: area.halfHeight, halfHeight: area.halfWidth },
        )
        const mirrored = areaWeights(
          places.map(({ x, y }) => ({ x: -x, y })),
          area,
        )
        areaWeights(places, area).forEach((weight, i) => {
          expect(turned[i]).toBeCloseTo(weight, 10)
          expect(mirrored[i]).toBeCloseTo(weight, 10)
        })
      }),
    )
  })

  test('no named map has a site beyond the edge exclusion', () => {
    fc.assert(
      fc.property(mapped, ({ substrate, places }) => {
        for (const place of places) expect(beyondEdge(substrate, place)).toBeNull()
      }),
    )
  })

  test('a square weighs its inner sites alike: a step of the grid each', () => {
    const piece = {
      substrateShape: 'rectangle',
      diameterMm: 1,
      widthMm: 44,
      heightMm: 24,
      edgeExclusionMm: 2,
    } as const
    const places = siteMap({ ...piece, name: '25 square' }).map(({ xMm, yMm }) => ({ x: xMm, y: yMm }))
    const weights = areaWeights(places, measuredArea(piece))
    // Steps of 10 × 5 mm on 40 × 20 mm: a whole step inside, half of one on a side, a quarter in a corner.
    const step = 50 / 800
    places.forEach(({ x, y }, i) => {
      const halves = (Math.abs(x) === 20 ? 0.5 : 1) * (Math.abs(y) === 10 ? 0.5 : 1)
      expect(weights[i]).toBeCloseTo(step * halves, 12)
    })
  })

  test('a line on a disc weighs each pair as a ring, so that a bowl averages as on the ring map', () => {
    const places = siteMap({ name: '5 line', diameterMm: 100, edgeExclusionMm: 6 }).map(({ xMm, yMm }) => ({
      x: xMm,
      y: yMm,
    }))
    // Rings at 0, R/2 and R, bounded at R/4 and 3R/4: 1/16, 1/2 and 7/16 of the disc.
    expect(areaWeights(places, { radius: 44 })).toEqual([7 / 32, 1 / 4, 1 / 16, 1 / 4, 7 / 32])
  })

  test('a line that lost a site is weighted as before but for that ring', () => {
    const line = (lost: number) =>
      siteMap({ name: '9 line', diameterMm: 100, edgeExclusionMm: 6, lineDirection: 20 })
        .filter(({ site }) => site !== lost)
        .map(({ xMm, yMm }) => ({ x: xMm, y: yMm }))
    const weights = areaWeights(line(0), { radius: 44 })
    const without = areaWeights(line(2), { radius: 44 })
    // Site 2 and site 8 share a ring: what was lost goes to the other.
    const expected = weights.map((weight, i) => (i === 7 ? 2 * weight : weight)).filter((_, i) => i !== 1)
    without.forEach((weight, i) => {
      expect(weight).toBeCloseTo(expected[i] as number, 12)
    })
    // Without its middle the innermost pair takes the middle's area.
    expect(areaWeights(line(5), { radius: 44 })[3]).toBeCloseTo(
      (weights[3] as number) + (weights[4] as number) / 2,
      12,
    )
  })
})
