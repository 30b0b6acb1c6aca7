import { describe, expect, test } from 'vitest'
import { targetImprovement } from '../../../shared/next/improvement.ts'

describe('expected improvement on the squared distance to a target', () => {
  // Computed independently of this program, in agreement with quadrature.
  test.each([
    [1510, 8, 1500, 12, 56.2845543],
    [1496, 25, 1500, 9.75, 19.1858597],
  ])('mean %d ± %d, target %d, distance %d: %d', (mean, standardDeviation, target, distance, value) => {
    const found = targetImprovement({ mean, standardDeviation, target, distance })
    expect(Math.abs(found / value - 1)).toBeLessThan(1e-8)
  })
})
