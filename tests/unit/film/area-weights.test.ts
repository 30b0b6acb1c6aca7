import { describe, expect, test } from 'vitest'
import { areaWeights } from '../../../shared/film/area-weights.ts'
import { nearestAreaShares } from '../../../shared/film/nearest-area.ts'
import { siteMap } from '../../../shared/film/site-map.ts'

const nine = siteMap({ name: '9', diameterMm: 100, edgeExclusionMm: 6 }).map(({ xMm, yMm }) => ({
  x: xMm,
  y: yMm,
}))
const ringWeights = [1 / 16, ...Array(4).fill(1 / 8), ...Array(4).fill(7 / 64)]

describe('weights for the mean over the area', () => {
  test('coordinates as a person types them, to 0.1 mm, still make complete rings', () => {
    const typed = nine.map(({ x, y }) => ({ x: Math.round(x * 10) / 10, y: Math.round(y * 10) / 10 }))
    areaWeights(typed, { radius: 44 }).forEach((weight, i) => {
      expect(weight).toBeCloseTo(ringWeights[i] as number, 12)
    })
  })

  test('a map that lost a site is weighted by the area nearest to each', () => {
    const lost = nine.slice(0, -1)
    const weights = areaWeights(lost, { radius: 44 })
    expect(weights).toEqual(nearestAreaShares(lost, { radius: 44 }))
    expect(weights.reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(1, 12)
  })

  test('a site read twice shares its weight', () => {
    const twice = [...nine, nine[8] as (typeof nine)[number]]
    const weights = areaWeights(twice, { radius: 44 })
    expect(weights[8]).toBeCloseTo(7 / 128, 12)
    expect(weights[9]).toBeCloseTo(7 / 128, 12)
    expect(weights.reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(1, 12)
  })

  test('rings at other radii are bounded halfway between them', () => {
    const at = (radius: number) =>
      [0, 120, 240].map((degrees) => ({
        x: radius * Math.cos((degrees * Math.PI) / 180),
        y: radius * Math.sin((degrees * Math.PI) / 180),
      }))
    const weights = areaWeights([{ x: 0, y: 0 }, ...at(30), ...at(40)], { radius: 44 })
    const share = (inner: number, outer: number) => (outer ** 2 - inner ** 2) / 1600
    expect(weights[0]).toBeCloseTo(share(0, 15), 12)
    expect(weights[1]).toBeCloseTo(share(15, 35) / 3, 12)
    expect(weights[4]).toBeCloseTo(share(35, 40) / 3, 12)
  })

  test('readings of the centre alone count alike', () => {
    expect(
      areaWeights(
        [
          { x: 0, y: 0 },
          { x: 0, y: 0 },
        ],
        { radius: 44 },
      ),
    ).toEqual([0.5, 0.5])
  })
})
