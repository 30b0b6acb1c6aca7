import { expect, test } from 'vitest'
import { shapeColumns } from '../../../shared/film/shape.ts'
import { siteMap } from '../../../shared/film/site-map.ts'
import { nonUniformityOf } from '../../../shared/film/uniformity.ts'
import { chiSquareQuantile } from '../../../shared/model/distributions.ts'
import { evennessOf, predictedShape } from '../../../shared/next/evenness.ts'
import type { Predictor } from '../../../shared/next/predictor.ts'
import { seeded } from '../../../shared/random.ts'

const sites = siteMap({ name: '9', diameterMm: 100, edgeExclusionMm: 6 } as Parameters<typeof siteMap>[0])
const common = { sites, radiusMm: 50, formula: 'halfRangeOverMean' as const, limit: 1 }
/** A shape term that is so much at a setting, with these variances. */
const term = (mean: (speed: number) => number, noise = 0, variance = 0, df = 1e6): Predictor =>
  ({
    noise,
    at: (settings: { speed: number }) => ({ mean: mean(settings.speed), variance, df }),
  }) as unknown as Predictor

test('a shape without scatter gives the formula of that shape, and is V-shaped in the setting', () => {
  const bowl = (speed: number) => 0.012 * ((speed - 3000) / 1500)
  const even = evennessOf({ ...common, predictors: { bowl: term(bowl) }, rest: 0 })
  for (const speed of [2000, 3000, 4500]) {
    const film = sites.map(
      ({ xMm, yMm }) => 1 + bowl(speed) * (shapeColumns(xMm / 50, yMm / 50)[1] as number),
    )
    const mean = film.reduce((sum, value) => sum + value, 0) / film.length
    expect(even.at({ speed })?.median).toBeCloseTo(nonUniformityOf(film, mean, 1).halfRangeOverMean!, 10)
  }
  const at = (speed: number) => even.at({ speed })!.median
  expect(at(3000)).toBeLessThan(at(2000))
  expect(at(3000)).toBeLessThan(at(4500))
  expect(
    predictedShape({ predictors: { bowl: term(bowl) }, sites, radiusMm: 50 }, { speed: 4500 })[0]?.share,
  ).toBe(1 - 0.012)
})

test('sites that only scatter have the spread of a chi-squared', () => {
  const even = evennessOf({
    ...common,
    formula: 'standardDeviationOverMean',
    predictors: {},
    rest: 0.004,
    draws: 8000,
  }).at({ speed: 1 })!
  for (const [share, value] of [
    [0.05, even.lower],
    [0.5, even.median],
    [0.95, even.upper],
  ] as const)
    expect(value / (0.4 * Math.sqrt(chiSquareQuantile(share, 8) / 8))).toBeCloseTo(1, 1)
})

test('quantiles and chance are those of films drawn one by one', () => {
  const predictors = {
    bowl: term(() => 0.003, 0.0012 ** 2, 0.0006 ** 2),
    ring: term(() => 0.002, 0.0008 ** 2),
    wedgeX: term(() => -0.003, 0.0012 ** 2),
    wedgeY: term(() => -0.001, 0.0012 ** 2),
  }
  const even = evennessOf({ ...common, limit: 0.6, predictors, rest: 0.0012, draws: 4000 }).at({ speed: 1 })!
  const random = seeded(99)
  const films = Array.from({ length: 20_000 }, () => {
    const shape = [
      0.003 + Math.hypot(0.0012, 0.0006) * random.normal(),
      0.002 + 0.0008 * random.normal(),
      -0.003 + 0.0012 * random.normal(),
      -0.001 + 0.0012 * random.normal(),
    ]
    const film = sites.map(({ xMm, yMm }) => {
      const place = shapeColumns(xMm / 50, yMm / 50)
      return 1 + 0.0012 * random.normal() + shape.reduce((sum, c, k) => sum + c * (place[k + 1] as number), 0)
    })
    return ((Math.max(...film) - Math.min(...film)) / 2 / (film.reduce((a, b) => a + b) / 9)) * 100
  }).sort((a, b) => a - b)
  expect(Math.abs(even.median / films[10_000]! - 1)).toBeLessThan(0.02)
  expect(Math.abs(even.upper / films[19_000]! - 1)).toBeLessThan(0.03)
  expect(Math.abs(even.chance! - films.filter((value) => value <= 0.6).length / 20_000)).toBeLessThan(0.03)
})
