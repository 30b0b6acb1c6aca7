import { describe, expect, test } from 'vitest'
import { areaWeights } from '../../../shared/film/area-weights.ts'
import { siteMap } from '../../../shared/film/site-map.ts'

/**
 * Ring areas by elementary geometry: boundaries halfway between rings, the outermost ring bounds the disc. The
 * layouts are common practice, no source. Truth for the mean of (r/R)² over a disc is 1/2.
 */
const maps = [
  { name: '5', weights: [1 / 4, 0.1875], plain: 0.8, area: 0.75 },
  { name: '9 ring', weights: [1 / 4, 0.09375], plain: 8 / 9, area: 0.75 },
  { name: '9', weights: [0.0625, 0.125, 0.109375], plain: 5 / 9, area: 0.5625 },
  { name: '13', weights: [0.0625, 0.125, 0.0546875], plain: 9 / 13, area: 0.5625 },
  { name: '17', weights: [0.0625, 0.0625, 0.0546875], plain: 10 / 17, area: 0.5625 },
  { name: '25', weights: [0.0625, 0.0625, 0.02734375], plain: 0.72, area: 0.5625 },
  { name: '49', weights: [1 / 36, 1 / 36, 1 / 36, 11 / 864], plain: 32 / 49, area: 19 / 36 },
] as const

describe.each(maps)('the $name-site map', ({ name, weights, plain, area }) => {
  const outer = 44
  const places = siteMap({ name, diameterMm: 100, edgeExclusionMm: 6 }).map(({ xMm, yMm }) => ({
    x: xMm,
    y: yMm,
  }))
  const squares = places.map(({ x, y }) => (x * x + y * y) / outer ** 2)
  const found = areaWeights(places, { radius: outer })

  test('weighs each ring by its area', () => {
    const radii = [...new Set(squares.map((square) => Math.sqrt(square).toFixed(6)))]
    squares.forEach((square, i) => {
      const ring = radii.indexOf(Math.sqrt(square).toFixed(6))
      expect(found[i]).toBeCloseTo(weights[ring] as number, 10)
    })
    expect(found.reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(1, 12)
  })

  test('plain and area-weighted mean of (r/R)²', () => {
    expect(squares.reduce((sum, square) => sum + square, 0) / squares.length).toBeCloseTo(plain, 8)
    expect(squares.reduce((sum, square, i) => sum + square * (found[i] as number), 0)).toBeCloseTo(area, 8)
  })
})
