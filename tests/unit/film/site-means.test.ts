import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { pooledRepeatability, siteMeans } from '../../../shared/film/site-means.ts'
import { summarizeFilm } from '../../../shared/film/summarize.ts'
import { chiSquareQuantile } from '../../../shared/model/distributions.ts'

const reading = (site: number | string | null, value: number) => ({ site, x: null, y: null, value })

describe('sites of several readings', () => {
  test('equal sites are one, readings without a site are their own', () => {
    const sites = siteMeans([
      reading(2, 10),
      reading(1, 1),
      reading(2, 14),
      reading(null, 5),
      reading(null, 7),
    ])
    expect(sites.map(({ value, count, squares }) => [value, count, squares])).toEqual([
      [12, 2, 8],
      [1, 1, 0],
      [5, 1, 0],
      [7, 1, 0],
    ])
    expect(pooledRepeatability(sites, null)).toEqual({
      standardDeviation: Math.sqrt(8),
      df: 1,
      exceedsGauge: null,
    })
    expect(pooledRepeatability(siteMeans([reading(1, 1), reading(null, 2)]), 1)).toBeNull()
  })

  test('any order of the readings gives the same means and the same pooled deviation', () => {
    const readings = fc.array(fc.tuple(fc.integer({ min: 1, max: 4 }), fc.integer({ min: 900, max: 1100 })), {
      minLength: 2,
      maxLength: 20,
    })
    fc.assert(
      fc.property(readings, (pairs) => {
        const there = siteMeans(pairs.map(([site, value]) => reading(site, value)))
        const back = siteMeans([...pairs].reverse().map(([site, value]) => reading(site, value)))
        const values = (sites: typeof there) => sites.map(({ value }) => value).sort((a, b) => a - b)
        values(there).forEach((value, i) => {
          expect(value).toBeCloseTo(values(back)[i]!, 8)
        })
        const [one, other] = [there, back].map((sites) => pooledRepeatability(sites, null))
        expect(one?.df).toBe(other?.df)
        expect(one?.standardDeviation ?? 0).toBeCloseTo(other?.standardDeviation ?? 0, 7)
      }),
    )
  })

  test('repeatability exceeds the gauge’s just beyond the 99 % point of χ²', () => {
    for (const df of [1, 2, 3, 5, 9, 18, 60, 200]) {
      const exact = chiSquareQuantile(0.99, df) * 4
      const exceeds = (squares: number) => pooledRepeatability([{ count: df + 1, squares }], 2)?.exceedsGauge
      // The approximation is within 2 % from one degree of freedom on.
      expect(exceeds(exact * 0.98), `${df}`).toBe(false)
      expect(exceeds(exact * 1.02), `${df}`).toBe(true)
    }
  })
})

describe('the uncertainty of a film that was read several times', () => {
  // Four sites without positions, three repeats each, ±1 about the mean of the site.
  const values = [1500, 1504, 1508, 1512]
  const readings = values.flatMap((value, site) =>
    [-1, 0, 1].map((by, k) => ({ row: 3 * site + k + 1, site, x: null, y: null, value: value + by })),
  )
  const film = (gauge: { repeatability: number | null } | null) =>
    summarizeFilm({ id: 'a', readings, diameterMm: 100, edgeExclusionMm: 5, gauge })
  const parts = (gauge: { repeatability: number | null } | null) =>
    Object.fromEntries(film(gauge).uncertainty!.parts.map(({ name, value, df }) => [name, { value, df }]))

  test('repeatability is that of a mean of three, and is taken out of the scatter of the sites', () => {
    const { sites, repeatability } = parts(null)
    expect(repeatability).toEqual({ value: Math.sqrt(1 / 12), df: 8 })
    // The variance of four site means is 80/3; that of their mean 20/3, of which 1/12 is the gauge.
    expect(sites?.value).toBeCloseTo(Math.sqrt(20 / 3 - 1 / 12), 12)
    expect(film(null).uncertainty?.standard).toBeCloseTo(Math.sqrt(20 / 3), 12)
  })

  test('what was measured here counts before the gauge’s page, and is compared with it', () => {
    expect(parts({ repeatability: 0.2 }).repeatability).toEqual({ value: Math.sqrt(1 / 12), df: 8 })
    expect(film({ repeatability: 0.2 }).repeatability?.exceedsGauge).toBe(true)
    expect(film({ repeatability: 1 }).repeatability?.exceedsGauge).toBe(false)
  })

  test('with fewer than 3 degrees of freedom the gauge’s page is the better guess, where it says anything', () => {
    const few = (repeatability: number | null) =>
      summarizeFilm({
        id: 'a',
        readings: readings.slice(0, 3).concat(readings.slice(3, 4)),
        diameterMm: 100,
        edgeExclusionMm: 5,
        gauge: { repeatability },
      }).uncertainty?.parts.find(({ name }) => name === 'repeatability')
    expect(few(3)).toEqual({ name: 'repeatability', value: 3 * Math.sqrt((1 / 3 + 1) / 4), df: null })
    expect(few(null)?.df).toBe(2)
  })
})
