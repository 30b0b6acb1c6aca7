import { describe, expect, test } from 'vitest'
import { summarizeFilm } from '../../../shared/film/summarize.ts'
import { combinedUncertainty, meanUncertainty } from '../../../shared/film/uncertainty.ts'

describe('parts combined as JCGM 100:2008 says', () => {
  test('the textbook case of five independent sites: s 4.37, gauge 3.0, resolution 0.5', () => {
    // Worked out independently from u² = s²/n + u_gauge² + u_res² and Welch–Satterthwaite.
    const { standard, df } = combinedUncertainty([
      { value: 4.37 / Math.sqrt(5), df: 4 },
      { value: 3, df: null },
      { value: 0.5, df: null },
    ])
    expect(standard).toBeCloseTo(3.615159747507709, 12)
    expect(df).toBeCloseTo(46.836477300467024, 9)
  })

  test('example H.1, an end gauge: 25, 9.7, 2.9 and 16.6 nm with 18, 25.6, 50 and 2 degrees of freedom', () => {
    const { standard, df } = combinedUncertainty([
      { value: 25, df: 18 },
      { value: 9.7, df: 25.6 },
      { value: 2.9, df: 50 },
      { value: 16.6, df: 2 },
    ])
    expect(standard).toBeCloseTo(31.67, 2)
    // The guide prints 16.7, from components that are not rounded.
    expect(Math.abs((df as number) - 16.7)).toBeLessThan(0.1)
  })
})

describe('the budget of a mean', () => {
  const scatter = { standardDeviation: 5, df: 5 }
  const sites = Array.from({ length: 9 }, () => 1)

  test('repeatability is within the scatter that is seen, and is not counted twice', () => {
    const gauge = { repeatability: 3, reload: null, calibration: null }
    const budget = meanUncertainty({ mean: 1500, scatter, readingsBySite: sites, gauge })
    expect(budget?.parts).toMatchObject([
      { name: 'sites', df: 5 },
      { name: 'repeatability', value: 1, df: null },
    ])
    expect(budget?.parts[0]?.value).toBeCloseTo(4 / 3, 12)
    expect(budget?.standard).toBeCloseTo(5 / 3, 12)
  })

  test('less scatter than the gauge makes is taken as the gauge’s', () => {
    const gauge = { repeatability: 6, reload: null, calibration: null }
    const budget = meanUncertainty({ mean: 1500, scatter, readingsBySite: sites, gauge })
    expect(budget?.standard).toBe(2)
  })

  test('reload and calibration do not shrink with the number of sites', () => {
    const gauge = { repeatability: null, reload: 2, calibration: 0.004 }
    const of = (n: number) =>
      meanUncertainty({ mean: 1500, scatter, readingsBySite: sites.slice(0, n), gauge })?.parts.slice(1)
    expect(of(9)).toEqual(of(4))
    expect(of(9)).toEqual([
      { name: 'reload', value: 2, df: null },
      { name: 'calibration', value: 6, df: null },
    ])
  })

  test('a gauge known from few readings takes part in the effective degrees of freedom', () => {
    // JCGM 100:2008, G.4.1: 2.5⁴ / (1.5⁴/5 + 2⁴/8) with the gauge's own part, common to all sites, at 8.
    const gauge = {
      repeatability: null,
      reload: 2,
      calibration: null,
      origins: { repeatability: null, reload: { df: 8, from: 'a gauge study' }, calibration: null },
    }
    const budget = meanUncertainty({
      mean: 1500,
      scatter: { standardDeviation: 4.5, df: 5 },
      readingsBySite: sites,
      gauge,
    })
    expect(budget?.standard).toBeCloseTo(2.5, 12)
    expect(budget?.df).toBeCloseTo(2.5 ** 4 / (1.5 ** 4 / 5 + 2 ** 4 / 8), 10)
  })

  test('a smooth bowl is no scatter', () => {
    const readings = [0, 22, 44, -22, -44].flatMap((r, row) =>
      [0, 1].map((across) => ({
        row: 2 * row + across,
        x: across ? 0 : r,
        y: across ? r : 0,
        value: 1500 * (1 + 0.02 * (2 * (r / 50) ** 2 - 1)),
      })),
    )
    const film = summarizeFilm({ id: 'bowl', readings, diameterMm: 100, edgeExclusionMm: 6 })
    expect(film.standardDeviation).toBeGreaterThan(15)
    expect(film.uncertainty?.standard).toBeLessThan(1e-9)
  })
})
