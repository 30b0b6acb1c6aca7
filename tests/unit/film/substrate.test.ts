import { describe, expect, test } from 'vitest'
import { substrateProblems } from '../../../shared/film/check-substrate.ts'
import {
  beyondEdge,
  fromEdge,
  isMeasurable,
  measuredArea,
  radiusOf,
  sizeInWords,
} from '../../../shared/film/substrate.ts'
import { summarizeFilm } from '../../../shared/film/summarize.ts'

const wafer = { substrateShape: 'notch', diameterMm: 100, edgeExclusionMm: 6 } as const
const piece = {
  substrateShape: 'rectangle',
  diameterMm: 100,
  widthMm: 30,
  heightMm: 40,
  edgeExclusionMm: 3,
} as const

describe('a substrate', () => {
  test('round: its edge is a circle', () => {
    expect(fromEdge(wafer, { x: 30, y: 40 })).toBe(0)
    expect(radiusOf(wafer)).toBe(50)
    expect(measuredArea(wafer)).toEqual({ radius: 44 })
    expect(sizeInWords(wafer)).toBe('100 mm')
  })

  test('rectangular: its nearest side counts, and its radius is that of the circle around it', () => {
    expect(fromEdge(piece, { x: 5, y: 5 })).toBe(10)
    expect(fromEdge(piece, { x: 0, y: -18 })).toBe(2)
    expect(fromEdge(piece, { x: 17, y: 0 })).toBe(-2)
    expect(radiusOf(piece)).toBe(25)
    expect(measuredArea(piece)).toEqual({ halfWidth: 12, halfHeight: 17 })
    expect(sizeInWords(piece)).toBe('30 × 40 mm')
  })

  test('a site beyond the edge exclusion is told why', () => {
    expect(beyondEdge(wafer, { x: 44, y: 0 })).toBeNull()
    expect(beyondEdge(wafer, { x: 0, y: 48 })).toBe(
      'The site is 48.0 mm from the centre, beyond the edge exclusion at 44 mm.',
    )
    expect(beyondEdge(piece, { x: 12, y: -17 })).toBeNull()
    expect(beyondEdge(piece, { x: 13, y: 0 })).toBe(
      'The site is 2.0 mm from the edge, within the edge exclusion of 3 mm.',
    )
    expect(beyondEdge(piece, { x: 0, y: 21.5 })).toBe(
      'The site is 1.5 mm off the edge, within the edge exclusion of 3 mm.',
    )
  })

  test('the exclusion has to leave something of both sides', () => {
    expect(isMeasurable(piece)).toBe(true)
    expect(isMeasurable({ ...piece, edgeExclusionMm: 15 })).toBe(false)
    const problems = (change: object) =>
      substrateProblems({ ...piece, siteMap: '9', ...change }).map(({ code, column }) => [code, column])
    expect(problems({})).toEqual([])
    expect(problems({ edgeExclusionMm: 15 })).toEqual([['edgeExclusion', 'edgeExclusionMm']])
    expect(problems({ heightMm: null })).toEqual([['noSides', 'heightMm']])
    expect(problems({ siteMap: 'own' })).toEqual([['noOwnSites', 'ownSites']])
  })

  test('an own map: sites of one number, at one place and beyond the edge are named', () => {
    const sites = [
      { site: 1, xMm: 0, yMm: 0 },
      { site: 2, xMm: 0, yMm: 0 },
      { site: 2, xMm: 5, yMm: 0 },
      { site: 4, xMm: 48, yMm: 0 },
    ]
    expect(
      substrateProblems({ ...wafer, siteMap: 'own', ownSites: { name: 'Mine', sites } }).map(
        ({ message }) => message,
      ),
    ).toEqual([
      'Site 2 lies where site 1 does.',
      'Site 2 stands there twice.',
      'Site 4: The site is 48.0 mm from the centre, beyond the edge exclusion at 44 mm.',
    ])
  })
})

describe('the film of a rectangle', () => {
  const readings = [-12, -6, 0, 6, 12].flatMap((x, i) =>
    [-17, -8, 0, 9, 17].map((y, j) => {
      const square = (x * x + y * y) / 625
      const value = 1000 * (1 + 0.02 * (2 * square - 1) + (0.01 * (x + y)) / 25)
      return { row: 5 * i + j + 2, x, y, value }
    }),
  )
  const film = summarizeFilm({ ...piece, id: 'P1', readings })

  test('its shape goes by the distance from the centre over half the diagonal', () => {
    expect(film.shapeRadius).toBe(25)
    expect(film.shape.bowl).toBeCloseTo(0.02, 10)
    expect(film.shape.wedgeX).toBeCloseTo(0.01, 10)
    expect(film.shape.wedgeY).toBeCloseTo(0.01, 10)
    expect(film.shape.wedgeDirection).toBeCloseTo(45, 6)
  })

  test('a site within the exclusion of a side is left out with the reason', () => {
    const { excluded, n } = summarizeFilm({
      ...piece,
      id: 'P1',
      readings: [...readings, { row: 99, x: 13.5, y: 0, value: 1100 }],
    })
    expect(n).toBe(25)
    expect(excluded).toEqual([
      { row: 99, reason: 'The site is 1.5 mm from the edge, within the edge exclusion of 3 mm.' },
    ])
  })

  test('the area-weighted mean comes near to the mean over the rectangle', () => {
    // ∫∫ r² over |x| ≤ a, |y| ≤ b is (a² + b²)/3 on average.
    const mean = 1000 * (1 + 0.02 * ((2 * (12 ** 2 + 17 ** 2)) / 3 / 625 - 1))
    expect(Math.abs(film.areaWeightedMean! / mean - 1)).toBeLessThan(0.002)
  })
})

describe('the shape on a line', () => {
  const along = (degrees: number, jitter = 0) =>
    [-44, -22, 0, 22, 44].map((s, i) => {
      const angle = (degrees * Math.PI) / 180
      const off = i % 2 === 0 ? jitter : -jitter
      return {
        row: i + 2,
        x: s * Math.cos(angle) - off * Math.sin(angle),
        y: s * Math.sin(angle) + off * Math.cos(angle),
        value: 1000 * (1 + 0.02 * (s / 50) + 0.01 * (2 * (s / 50) ** 2 - 1)),
      }
    })
  const shape = (degrees: number, jitter?: number) =>
    summarizeFilm({ ...wafer, id: 'W', readings: along(degrees, jitter) }).shape

  test('along x or y it tells the wedge of that direction, and nothing across', () => {
    expect(shape(0)).toMatchObject({ wedgeY: null, wedge: null, wedgeDirection: null })
    expect(shape(0).wedgeX).toBeCloseTo(0.02, 10)
    expect(shape(0).bowl).toBeCloseTo(0.01, 10)
    expect(shape(90).wedgeY).toBeCloseTo(0.02, 10)
    expect(shape(90).wedgeX).toBeNull()
  })

  test('rounded coordinates make no wedge across the line', () => {
    expect(shape(0, 0.05).wedgeY).toBeNull()
    expect(shape(90, 0.05).wedgeX).toBeNull()
  })

  test('on a slant neither part can be told, while bowl and rest can', () => {
    const slanted = shape(30)
    expect(slanted).toMatchObject({ wedgeX: null, wedgeY: null, wedge: null, wedgeDirection: null })
    expect(slanted.bowl).toBeCloseTo(0.01, 10)
    expect(slanted.rest).toBeCloseTo(0, 10)
    expect(shape(30, 0.05)).toMatchObject({ wedgeX: null, wedgeY: null })
  })
})
