import { describe, expect, test } from 'vitest'
import { expectedImprovement, targetImprovement } from '../../../shared/next/improvement.ts'

describe('expected improvement', () => {
  // Jones, Schonlau & Welch, J. Global Optimization 13 (1998) 455–492, equation (15); the values were computed
  // independently of this program and checked by numerical integration to 1e-9.
  test.each([
    [0, 0, 1, 0.3989422804014327],
    [1, 0.5, 1, 0.6977965574013061],
    [0, 1, 0.5, 0.00424535130841483],
    [0, 1, 1, 0.08331547058768629],
    [0, 2, 1, 0.00849070261682966],
    [10, 12, 3, 0.4533589414732109],
    [0.5, 0.2, 0.1, 0.3000382154317048],
  ])(
    'on a lowest value of %d, mean %d, standard deviation %d, is %d',
    (best, mean, standardDeviation, value) => {
      const found = expectedImprovement({ best, mean, standardDeviation })
      expect(Math.abs(found / value - 1)).toBeLessThan(1e-13)
    },
  )

  test('without uncertainty is the plain gain', () => {
    expect(expectedImprovement({ best: 3, mean: 1, standardDeviation: 0 })).toBe(2)
    expect(expectedImprovement({ best: 1, mean: 3, standardDeviation: 0 })).toBe(0)
  })
})

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
