import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { nearestAreaShares } from '../../../shared/film/nearest-area.ts'

const shares = (points: [number, number][], radius: number) =>
  nearestAreaShares(
    points.map(([x, y]) => ({ x, y })),
    { radius },
  )

describe('the share of a rectangle nearest to each point', () => {
  test('two points halve it, and one in the middle of four on the middles of the sides has a rectangle around it', () => {
    const area = { halfWidth: 10, halfHeight: 5 }
    expect(
      nearestAreaShares(
        [
          { x: -1, y: 2 },
          { x: 1, y: 2 },
        ],
        area,
      ),
    ).toEqual([0.5, 0.5])
    const [centre] = nearestAreaShares(
      [
        { x: 0, y: 0 },
        { x: 8, y: 0 },
        { x: -8, y: 0 },
      ],
      area,
    )
    expect(centre).toBeCloseTo(8 / 20, 14)
  })
})

describe('the share of a disc nearest to each point', () => {
  test('one point has it all, two on either side have half each', () => {
    expect(shares([[3, 4]], 10)[0]).toBeCloseTo(1, 14)
    const [left, right] = shares(
      [
        [-3, 0],
        [3, 0],
      ],
      10,
    )
    expect(left).toBeCloseTo(0.5, 14)
    expect(right).toBeCloseTo(0.5, 14)
  })

  test('a cell cut off by one chord is the circular segment of geometry', () => {
    // The bisector stands at x = 6 on a disc of radius 10: segment r²·acos(d/r) − d·√(r² − d²).
    const segment = 100 * Math.acos(0.6) - 6 * 8
    expect(
      shares(
        [
          [4, 0],
          [8, 0],
        ],
        10,
      )[1],
    ).toBeCloseTo(segment / (100 * Math.PI), 14)
  })

  test('a centre site between four others has a square', () => {
    const [centre, ...others] = shares(
      [
        [0, 0],
        [10, 0],
        [0, 10],
        [-10, 0],
        [0, -10],
      ],
      10,
    )
    expect(centre).toBeCloseTo(100 / (100 * Math.PI), 14)
    for (const other of others) expect(other).toBeCloseTo((1 - 1 / Math.PI) / 4, 14)
  })

  const point = fc.tuple(fc.integer({ min: -700, max: 700 }), fc.integer({ min: -700, max: 700 }))
  const distinct = fc.uniqueArray(point, { minLength: 1, maxLength: 40, selector: ([x, y]) => `${x},${y}` })

  test('the shares are not negative and sum to 1', () => {
    fc.assert(
      fc.property(distinct, (points) => {
        const found = shares(points, 1000)
        expect(Math.min(...found)).toBeGreaterThanOrEqual(0)
        expect(found.reduce((sum, share) => sum + share, 0)).toBeCloseTo(1, 11)
      }),
    )
  })

  test('they agree with counting on a fine lattice', () => {
    fc.assert(
      fc.property(distinct, (points) => {
        const counts = points.map(() => 0)
        let total = 0
        for (let x = -995; x < 1000; x += 10)
          for (let y = -993; y < 1000; y += 10) {
            if (x * x + y * y > 1e6) continue
            const away = points.map(([px, py]) => (x - px) ** 2 + (y - py) ** 2)
            const nearest = away.indexOf(Math.min(...away))
            counts[nearest] = (counts[nearest] as number) + 1
            total++
          }
        shares(points, 1000).forEach((share, i) => {
          expect(Math.abs(share - (counts[i] as number) / total)).toBeLessThan(0.006)
        })
      }),
      { numRuns: 10 },
    )
  })
})
