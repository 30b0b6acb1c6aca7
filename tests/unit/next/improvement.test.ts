import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { targetImprovement } from '../../../shared/next/improvement.ts'

/** The same expectation by Simpson's rule on 4000 intervals. */
function byQuadrature(target: number, a: number, mean: number, s: number): number {
  const d = mean - target
  const f = (u: number) =>
    ((a * a - u * u) * Math.exp(-0.5 * ((u - d) / s) ** 2)) / (s * Math.sqrt(2 * Math.PI))
  const n = 4000
  const h = (2 * a) / n
  let sum = f(-a) + f(a)
  for (let i = 1; i < n; i++) sum += (i % 2 === 1 ? 4 : 2) * f(-a + i * h)
  return (sum * h) / 3
}

describe('targetImprovement', () => {
  test('is the expectation, on both sides of the change from quadrature to the closed form', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.01, max: 5, noNaN: true }),
        fc.double({ min: -3, max: 3, noNaN: true }),
        fc.double({ min: 0.05, max: 3, noNaN: true }),
        (a, d, s) => {
          const found = targetImprovement({ target: 10, distance: a, mean: 10 + d, standardDeviation: s })
          const wanted = byQuadrature(10, a, 10 + d, s)
          expect(Math.abs(found - wanted)).toBeLessThan(1e-9 * a * a + 1e-7 * wanted)
        },
      ),
      { numRuns: 300, seed: 7 },
    )
  })

  test('does not care on which side of the target the mean lies', () => {
    const at = (mean: number) => targetImprovement({ target: 1500, distance: 9, mean, standardDeviation: 4 })
    expect(at(1480)).toBe(at(1520))
  })

  test('is nothing where the target is met already, and the plain gain without uncertainty', () => {
    expect(targetImprovement({ target: 1, distance: 0, mean: 1, standardDeviation: 1 })).toBe(0)
    expect(targetImprovement({ target: 1, distance: 2, mean: 2, standardDeviation: 0 })).toBe(3)
  })
})
