import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { siteMapNames } from '../../../shared/contract/choices.ts'
import { filmSummary } from '../../../shared/contract/results/film.ts'
import { siteMap } from '../../../shared/film/site-map.ts'
import { type FilmReading, summarizeFilm } from '../../../shared/film/summarize.ts'

const wafer = { id: 'W01', diameterMm: 100, edgeExclusionMm: 6 }
const sites = (name: (typeof siteMapNames)[number], edgeExclusionMm = 6) =>
  siteMap({ name, diameterMm: 100, edgeExclusionMm })

/** Readings of a film with known shape terms. */
const shaped = (
  name: (typeof siteMapNames)[number],
  { mean = 1500, bowl = 0, ring = 0, wedgeX = 0, wedgeY = 0 },
): FilmReading[] =>
  sites(name).map((site, i) => {
    const x = site.xMm / 50
    const y = site.yMm / 50
    const square = x * x + y * y
    const shape =
      bowl * (2 * square - 1) + ring * (6 * square ** 2 - 6 * square + 1) + wedgeX * x + wedgeY * y
    return { row: i + 2, x: site.xMm, y: site.yMm, value: mean * (1 + shape) }
  })
const values = (...numbers: number[]): FilmReading[] =>
  numbers.map((value, i) => ({ row: i + 2, x: null, y: null, value }))

describe('the shape of a film', () => {
  test('one slip of the decimal sign that makes the mean of the shape negative leaves no shares of it', () => {
    const places = [
      [0, 0, 4860],
      [15, 0, 6050],
      [-15, 0, 6030],
      [0, 15, 60400],
      [0, -15, 6050],
      [28, 5, 6080],
      [-28, -5, 6100],
    ] as const
    const readings = places.map(([x, y, value], i) => ({ row: i + 2, x, y, value }))
    const { shape } = summarizeFilm({ id: 'W01', diameterMm: 76.2, edgeExclusionMm: 5, readings })
    expect(Object.values(shape).every((share) => share === null)).toBe(true)
  })

  const share = fc.double({ min: -0.1, max: 0.1, noNaN: true })
  test.each(['9', '13', '17', '25', '49'] as const)(
    'the %s-site map gives back every term that was put in, and no rest',
    (name) => {
      fc.assert(
        fc.property(share, share, share, share, (bowl, ring, wedgeX, wedgeY) => {
          const readings = shaped(name, { bowl, ring, wedgeX, wedgeY })
          const { shape } = summarizeFilm({ ...wafer, readings })
          expect(shape.bowl).toBeCloseTo(bowl, 10)
          expect(shape.ring).toBeCloseTo(ring, 10)
          expect(shape.wedgeX).toBeCloseTo(wedgeX, 10)
          expect(shape.wedgeY).toBeCloseTo(wedgeY, 10)
          expect(shape.rest).toBeCloseTo(0, 10)
        }),
      )
    },
  )

  test.each(['5', '9 ring'] as const)('the %s-site map has two radii and gives no ring term', (name) => {
    const { shape } = summarizeFilm({ ...wafer, readings: shaped(name, { bowl: 0.01, wedgeX: 0.002 }) })
    expect(shape.ring).toBeNull()
    expect(shape.bowl).toBeCloseTo(0.01, 12)
    expect(shape.wedgeX).toBeCloseTo(0.002, 12)
  })

  test('two radii that differ in the last typed digit make no third', () => {
    const readings = shaped('9 ring', { bowl: 0.01 }).map((reading) => ({
      ...reading,
      x: Math.round((reading.x as number) * 10) / 10,
      y: Math.round((reading.y as number) * 10) / 10,
    }))
    expect(summarizeFilm({ ...wafer, readings }).shape.ring).toBeNull()
  })

  test('six sites well within a rectangle cannot tell a ring, and leave two degrees of freedom', () => {
    const places = [
      [0, 0],
      [6, 10],
      [-6, 10],
      [-6, -10],
      [6, -10],
      [8, 0],
    ] as const
    const thicknesses = [500, 505, 510, 498, 495, 520]
    const piece = { id: 'P', substrateShape: 'rectangle', widthMm: 20, heightMm: 30, diameterMm: 20 } as const
    const readings = places.map(([x, y], i) => ({ row: i + 2, x, y, value: thicknesses[i] as number }))
    const { shape, standardUncertainty, standardDeviation, uncertainty } = summarizeFilm({
      ...piece,
      edgeExclusionMm: 1,
      readings,
    })
    expect(shape.ring).toBeNull()
    expect(Math.abs(shape.bowl as number)).toBeLessThan(0.05)
    expect(uncertainty?.df).toBe(2)
    expect(standardUncertainty).toBeGreaterThan((standardDeviation as number) / Math.sqrt(6) / 2)
  })

  test('every map with three radii keeps its ring on usual wafers and pieces', () => {
    const usual = [
      { diameterMm: 100, edgeExclusionMm: 6 },
      { diameterMm: 200, edgeExclusionMm: 5 },
      { diameterMm: 50, edgeExclusionMm: 5 },
      { diameterMm: 25, edgeExclusionMm: 3 },
      {
        substrateShape: 'rectangle',
        widthMm: 20,
        heightMm: 20,
        diameterMm: 20,
        edgeExclusionMm: 1,
      },
    ] as const
    for (const substrate of usual)
      for (const name of siteMapNames) {
        if (['5', '9 ring', 'own'].includes(name) || name === '5 line') continue
        const readings = siteMap({ ...substrate, name }).map(({ xMm, yMm }, i) => ({
          ...{ row: i + 2, x: xMm, y: yMm },
          value: 1000,
        }))
        expect(summarizeFilm({ id: name, ...substrate, readings }).shape.ring).not.toBeNull()
      }
  })

  test('with one degree of freedom left the uncertainty goes by the scatter of the sites', () => {
    const summary = summarizeFilm({ ...wafer, readings: shaped('5', { bowl: 0.05 }) })
    expect(summary.shape.bowl).toBeCloseTo(0.05, 12)
    expect(summary.standardUncertainty).toBe((summary.standardDeviation as number) / Math.sqrt(5))
    expect(summary.uncertainty?.df).toBe(4)
  })

  test.each([
    [0.003, 0, 0],
    [0, 0.003, 90],
    [-0.003, 0, 180],
    [0, -0.003, 270],
    [-0.003, -0.003 / Math.sqrt(3), 210],
    [0.003, -1e-17, 0],
  ])('a wedge of %d along x and %d along y rises towards %d°', (wedgeX, wedgeY, direction) => {
    const { shape } = summarizeFilm({ ...wafer, readings: shaped('9', { wedgeX, wedgeY }) })
    expect(shape.wedge).toBeCloseTo(Math.hypot(wedgeX, wedgeY), 12)
    const turn = (((shape.wedgeDirection as number) - direction + 540) % 360) - 180
    expect(Math.abs(turn)).toBeLessThan(1e-8)
    expect(shape.wedgeDirection).toBeGreaterThanOrEqual(0)
    expect(shape.wedgeDirection).toBeLessThan(360)
  })

  test('a scan along x gives no wedge along y and so no direction', () => {
    const readings = [-40, -20, 0, 20, 40].map((x, i) => ({ row: i + 2, x, y: 0, value: 1500 + x }))
    const { shape } = summarizeFilm({ ...wafer, readings })
    expect(shape.wedgeX).toBeCloseTo(50 / 1500, 12)
    expect(shape).toMatchObject({ wedgeY: null, wedge: null, wedgeDirection: null })
  })

  test('without a degree of freedom to spare the rest is not known', () => {
    const { shape } = summarizeFilm({ ...wafer, readings: shaped('5', {}).slice(0, 4) })
    expect(shape.rest).toBeNull()
  })
})

describe('mean and spread', () => {
  test('the area mean of a bowl weighs each ring by its area', () => {
    // Mean of 2ρ² − 1 over rings of 1/16, 1/2, 7/16 of the disc of 44 mm: ρ² is 0.5625 · 0.88² on average.
    const { areaWeightedMean } = summarizeFilm({ ...wafer, readings: shaped('9', { mean: 1000, bowl: 0.1 }) })
    expect(areaWeightedMean).toBeCloseTo(1000 * (1 + 0.1 * (2 * 0.5625 * 0.88 ** 2 - 1)), 9)
  })

  test('the uncertainty of the mean leaves a smooth shape out and counts the rest', () => {
    const smooth = summarizeFilm({ ...wafer, readings: shaped('9', { bowl: 0.05, wedgeX: 0.02 }) })
    expect(smooth.standardDeviation).toBeGreaterThan(40)
    expect(smooth.standardUncertainty).toBeLessThan(1e-9)
    const rough = shaped('9', { bowl: 0.05 }).map((reading, i) => ({
      ...reading,
      value: reading.value + (i % 2 ? 3 : -3),
    }))
    const summary = summarizeFilm({ ...wafer, readings: rough })
    const constant = ((summary.standardUncertainty as number) * 3) / (summary.shape.rest as number)
    expect(constant).toBeGreaterThan(1400)
    expect(constant).toBeLessThan(1600)
  })

  test('without positions there is the mean and the spread, and s/√n for the uncertainty', () => {
    const summary = summarizeFilm({ ...wafer, readings: values(1500, 1510, 1490, 1520) })
    expect(summary.mean).toBe(1505)
    expect(summary.standardUncertainty).toBeCloseTo((summary.standardDeviation as number) / 2, 12)
    expect(summary.areaWeightedMean).toBeNull()
    expect(Object.values(summary.shape).every((term) => term === null)).toBe(true)
    expect(summary.nonUniformity.halfRangeOverMean).toBeCloseTo((100 * 15) / 1505, 12)
  })

  test('one reading has no spread', () => {
    const summary = summarizeFilm({ ...wafer, readings: values(1500) })
    expect(summary).toMatchObject({ n: 1, mean: 1500, standardDeviation: null, standardUncertainty: null })
    expect(Object.values(summary.nonUniformity).every((value) => value === null)).toBe(true)
  })

  test('one reading with its place has the mean as its area mean and no shape', () => {
    const readings = [{ row: 2, x: 0, y: 0, value: 1500 }]
    const summary = summarizeFilm({ ...wafer, readings })
    expect(summary.areaWeightedMean).toBe(1500)
    expect(Object.values(summary.shape).every((term) => term === null)).toBe(true)
  })

  test('no readings give nulls throughout', () => {
    const summary = summarizeFilm({ ...wafer, readings: [] })
    expect(summary).toMatchObject({ n: 0, mean: null, areaWeightedMean: null, standardDeviation: null })
  })
})

describe('what is left out', () => {
  test('zero and negative readings and sites beyond the edge, each by row with its reason', () => {
    const readings = shaped('9', {})
    const change = (i: number, part: Partial<FilmReading>) => Object.assign(readings[i] as FilmReading, part)
    change(1, { value: 0 })
    change(2, { value: -1500 })
    change(5, { x: 48 })
    change(6, { excluded: 'comet' })
    const summary = summarizeFilm({ ...wafer, readings })
    expect(summary.n).toBe(5)
    expect(summary.excluded).toEqual([
      { row: 3, reason: 'The reading is zero.' },
      { row: 4, reason: 'The reading is negative.' },
      { row: 7, reason: 'The site is 48.0 mm from the centre, beyond the edge exclusion at 44 mm.' },
      { row: 8, reason: 'comet' },
    ])
  })

  test('a site on the edge exclusion counts, one that is 2 nm beyond it does not', () => {
    const at = (x: number) => summarizeFilm({ ...wafer, readings: [{ row: 2, x, y: 0, value: 1500 }] }).n
    expect(at(44)).toBe(1)
    expect(at(44 + 0.9e-6)).toBe(1)
    expect(at(44 + 2e-6)).toBe(0)
  })
})

test('every summary has the shape that the contract promises, whatever comes in', () => {
  const reading = fc.record({
    x: fc.option(fc.double({ min: -60, max: 60, noNaN: true })),
    y: fc.option(fc.double({ min: -60, max: 60, noNaN: true })),
    value: fc.oneof(fc.constant(0), fc.double({ min: -10, max: 5000, noNaN: true })),
    excluded: fc.option(fc.constant('scratch')),
  })
  fc.assert(
    fc.property(fc.array(reading, { maxLength: 20 }), (drawn) => {
      const readings = drawn.map((one, i) => ({ ...one, row: i + 2 }))
      const summary = summarizeFilm({ ...wafer, readings })
      expect(filmSummary.safeParse(summary).error).toBeUndefined()
      expect(summary.n + summary.excluded.length).toBe(readings.length)
    }),
  )
})

test('what is left out is there with and without; a zero is no film with either', () => {
  const values = [1500, 1502, 1440, 1501, 0]
  const readings = values.map((value, i) => ({
    row: i + 1,
    x: null,
    y: null,
    value,
    excluded: i === 2 ? 'a comet' : null,
  }))
  const film = summarizeFilm({ id: 'W', readings, diameterMm: 100, edgeExclusionMm: 6 })
  expect([film.n, film.mean]).toEqual([3, 1501])
  expect([film.withExcluded?.n, film.withExcluded?.mean]).toEqual([4, 1485.75])
  expect(film.withExcluded?.nonUniformity.rangeOverMaximum).toBeCloseTo((100 * 62) / 1502, 12)
  const whole = summarizeFilm({
    id: 'W',
    readings: readings.slice(0, 2),
    diameterMm: 100,
    edgeExclusionMm: 6,
  })
  expect(whole.withExcluded).toBeNull()
})
