import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { stepHeight, type TracePoint } from '../../../shared/film/step-height.ts'

/**
 * ISO 5436-1:2000, type A1: over three widths of the groove, thirds of a width beside each edge are left out
 * and of the bottom the middle third is used; Z = αX + β + hδ by least squares, depth 2h. Profiles are
 * artificial, W = 90 µm, a point every µm (61 + 61 + 31 points used); expected values computed independently
 * (R 4.2.2 and exact arithmetic).
 */
const profile = (height: (x: number) => number): TracePoint[] =>
  Array.from({ length: 271 }, (_, i) => ({ position: i - 135, height: height(i - 135) }))
const groove = (x: number) => (Math.abs(x) < 45 ? -1250 : Math.abs(x) === 45 ? -625 : 0)
const edges: [number, number] = [-45, 45]

function stepOf(points: TracePoint[], options: { edges?: [number, number] }) {
  const answer = stepHeight(points, options)
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  return answer.value
}

describe.each([
  ['with its edges given', { edges }],
  ['with its edges found', {}],
])('a groove of 1250 nm, %s', (_, options) => {
  test('level', () => {
    const found = stepOf(profile(groove), options)
    expect(found.step).toBeCloseTo(-1250, 9)
    expect(found.width).toBe(90)
    expect(found.regions).toEqual({ left: [-135, -75], middle: [-15, 15], right: [75, 135] })
  })

  test('tilted by 0.8 nm/µm', () => {
    const found = stepOf(
      profile((x) => groove(x) + 0.8 * x + 40),
      options,
    )
    expect(found.step).toBeCloseTo(-1250, 9)
    expect(found.slope).toBeCloseTo(0.8, 12)
  })

  test('tilted and bowed by 0.002 x²: the method does not take a bow out', () => {
    const found = stepOf(
      profile((x) => groove(x) + 0.8 * x + 40 + 0.002 * x * x),
      options,
    )
    expect(found.step).toBeCloseTo(-1272.51, 8)
  })

  test('tilted and rippled, heights to 1e-4 nm', () => {
    const file = readFileSync(
      new URL('../../data/iso5436_A1_profile_tilt_ripple.csv', import.meta.url),
      'utf8',
    )
    const points = file
      .trim()
      .split(/\r?\n/)
      .slice(1)
      .map((line) => line.split(',').map(Number) as [number, number])
      .map(([position, height]) => ({ position, height }))
    const found = stepOf(points, options)
    expect(found.step).toBeCloseTo(-1248.0679606821786, 9)
    expect(found.slope).toBeCloseTo(0.7983770408921932, 12)
    expect(found.residualStandardDeviation).toBeCloseTo(5.365689264156353, 10)
  })
})
