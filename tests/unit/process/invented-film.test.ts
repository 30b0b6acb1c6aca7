import { describe, expect, test } from 'vitest'
import { siteMap } from '../../../shared/film/site-map.ts'
import { summarizeFilm } from '../../../shared/film/summarize.ts'
import {
  type FilmConditions,
  inventedProfile,
  inventedThickness,
  noShapeNoise,
} from '../../../shared/process/invented-film.ts'

// All numbers here describe an invented film: they check that it stays the same, not that any resist does this.

const reference: FilmConditions = {
  speed: 3000,
  ramp: 1000,
  segmentTime: 42.5,
  waferTemperature: 100,
  bakeTime: 60,
  lot: 'A',
  humidity: 45,
  roomTemperature: 21,
  openings: 0,
  waferSinceClean: 1000,
  lidOpen: false,
}
/** The reference at a speed and a time at full speed, s. */
const spun = (speed: number, dwell: number): FilmConditions => ({
  ...reference,
  speed,
  segmentTime: dwell + Math.abs(speed - 500) / 1000,
})

describe('the mean thickness of the invented film', () => {
  test.each([
    [1500, 2259.0],
    [2000, 1934.4],
    [2500, 1717.6],
    [3000, 1560.0],
    [3250, 1495.8],
    [3500, 1439.0],
    [4000, 1342.4],
    [4500, 1262.9],
    [5000, 1196.1],
  ])('%d rpm for 40 s at speed: %d nm', (speed, thickness) => {
    expect(inventedThickness(spun(speed, 40))).toBeCloseTo(thickness, 1)
  })

  test.each([
    [5, 1896.3],
    [10, 1775.1],
    [15, 1695.3],
    [20, 1642.6],
    [30, 1585.0],
    [40, 1560.0],
    [60, 1544.4],
    [90, 1541.1],
  ])('3000 rpm for %d s at speed: %d nm', (dwell, thickness) => {
    expect(inventedThickness(spun(3000, dwell))).toBeCloseTo(thickness, 1)
  })

  test.each([
    [45, [1648.3, 1611.8, 1578.9, 1552.1, 1531.9]],
    [60, [1619.0, 1586.4, 1560.0, 1540.4, 1526.2]],
    [90, [1587.7, 1564.1, 1547.1, 1534.6, 1524.3]],
  ])('baked for %d s at 90, 95, 100, 105, 110 °C: %j nm', (bakeTime, thicknesses) => {
    thicknesses.forEach((thickness, i) => {
      const conditions = { ...reference, bakeTime, waferTemperature: 90 + 5 * i }
      expect(inventedThickness(conditions)).toBeCloseTo(thickness, 1)
    })
  })

  const work: FilmConditions = { ...reference, speed: 3250, segmentTime: 40 }
  test.each([
    ['speed', 1, 50, -12.1],
    ['segmentTime', 0.1, 1, -1.8],
    ['waferTemperature', 0.1, 1, -4.4],
    ['bakeTime', 0.1, 1, -0.8],
    ['humidity', 0.1, 1, -0.9],
    ['roomTemperature', 0.1, 1, 5.3],
    ['ramp', 1, 100, -1.4],
    ['openings', 0.1, 1, 1.2],
  ] as const)('around 1500.2 nm, %s by %d × %d', (name, step, unit, slope) => {
    expect(inventedThickness(work)).toBeCloseTo(1500.2, 1)
    const at = (change: number) => inventedThickness({ ...work, [name]: work[name] + change })
    expect(((at(step) - at(-step)) / (2 * step)) * unit).toBeCloseTo(slope, 1)
  })

  test('a ramp that never gets there leaves a third more film', () => {
    const faulty = { ...reference, ramp: 500, segmentTime: 5 }
    expect(inventedThickness(faulty)).toBeCloseTo(2089, 0)
    expect(inventedThickness({ ...faulty, segmentTime: 4 })).toBeGreaterThan(inventedThickness(faulty))
  })

  test('lots, an open lid and the first wafer differ by their factors', () => {
    const ratio = (change: Partial<FilmConditions>) =>
      inventedThickness({ ...reference, ...change }) / inventedThickness(reference)
    expect(ratio({ lot: 'B' })).toBeCloseTo(1.018, 12)
    expect(ratio({ lot: 'C' })).toBeCloseTo(0.987, 12)
    expect(ratio({ lidOpen: true })).toBeCloseTo(1.015, 12)
    expect(ratio({ waferSinceClean: 1 })).toBeCloseTo(1.008, 12)
    expect(() => ratio({ lot: 'Z' })).toThrow(RangeError)
  })
})

describe('the shape of the invented film', () => {
  const wafer = (conditions: FilmConditions, edgeExclusionMm: number) => {
    const sites = siteMap({ name: '9', diameterMm: 100, edgeExclusionMm })
    return summarizeFilm({
      id: 'invented',
      diameterMm: 100,
      edgeExclusionMm,
      readings: sites.map((site) => ({
        row: site.site + 1,
        x: site.xMm,
        y: site.yMm,
        value: inventedProfile(conditions, noShapeNoise, site, { diameterMm: 100 }),
      })),
    })
  }

  test.each([
    [6, [0.77, 0.24, 0.35, 1.0]],
    [3, [0.37, 0.75, 0.88, 1.63]],
  ])('half-range over mean at %d mm exclusion, 2000, 3000, 3250 and 4500 rpm: %j %%', (edge, expected) => {
    const found = [2000, 3000, 3250, 4500].map(
      (speed) => wafer(spun(speed, 40), edge).nonUniformity.halfRangeOverMean,
    )
    found.forEach((value, i) => {
      expect(value).toBeCloseTo(expected[i] as number, 2)
    })
  })

  test.each([
    [44, 0.03],
    [46, 0.3],
    [47, 0.9],
    [48, 2.7],
    [49, 8],
  ])('the edge bead at r = %d mm adds %d %%', (r, percent) => {
    const at = (radiusMm: number, scale: number) =>
      inventedProfile(reference, noShapeNoise, { xMm: scale * r, yMm: 0 }, { diameterMm: 2 * radiusMm })
    // The same relative place on a disc a thousand times as wide is far from its edge.
    expect(100 * (at(50, 1) - at(50000, 1000))).toBeCloseTo(percent, percent < 5 ? 1 : 0)
  })

  test('the wedge rises towards the cold side of the plate', () => {
    expect(wafer(reference, 6).shape.wedgeDirection).toBeCloseTo(210, 6)
    expect(wafer(reference, 6).shape.wedge).toBeCloseTo(0.003, 5)
  })

  test('without the bead the shape averages to nothing over the disc', () => {
    // Midpoints in ρ² and θ: exact for these polynomials but for ρ⁴, which 400 rings give to 1e-6.
    let sum = 0
    for (let i = 0; i < 400; i++)
      for (let k = 0; k < 12; k++) {
        const r = 5e7 * Math.sqrt((i + 0.5) / 400)
        const angle = (2 * Math.PI * k) / 12
        sum += inventedProfile(
          spun(4000, 10),
          noShapeNoise,
          { xMm: r * Math.cos(angle), yMm: r * Math.sin(angle) },
          { diameterMm: 1e8 },
        )
      }
    expect(sum / 4800).toBeCloseTo(1, 6)
  })
})
