import { expect, test } from 'vitest'
import { countCorrected } from '../unit/model/lot-scenario.ts'

test('lots 1.8 % thicker and 1.3 % thinner: shift and corrected speed lie within 95 % intervals in 95 of 100', () => {
  const { of, shifts, speeds, beside, equal } = countCorrected(2000)
  // The two lots of a study share the fit, so the count scatters by up to √2 more than of that many studies.
  const reach = 4 * Math.sqrt(2 * of * 0.95 * 0.05)
  for (const inside of [shifts, speeds, beside]) expect(Math.abs(inside - 0.95 * of)).toBeLessThan(reach)
  expect(equal).toBeLessThan(0.05 * of)
})
