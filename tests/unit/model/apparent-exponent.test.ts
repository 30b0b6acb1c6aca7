import { expect, test } from 'vitest'
import { apparentExponentTerm } from '../../../shared/model/apparent-exponent.ts'

test.each([
  ['log(thickness) ~ log(speed)', 'log(speed)'],
  ['log(thickness) ~ bake + log(rpm) + lot', 'log(rpm)'],
  ['log10(thickness) ~ log10(speed)', 'log10(speed)'],
  // Where another term holds the speed, or the logarithms differ, the slope is no exponent.
  ['log(thickness) ~ log(speed) + log(speed)^2', null],
  ['log(thickness) ~ log(speed)*time', null],
  ['log(thickness) ~ log10(speed)', null],
  ['thickness ~ log(speed)', null],
  ['log(thickness) ~ log(time)', null],
  ['log(thickness) ~ (speed', null],
])('%s: %s', (model, term) => {
  expect(apparentExponentTerm(model)).toBe(term)
})
