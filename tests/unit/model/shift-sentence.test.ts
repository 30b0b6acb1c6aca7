import { expect, test } from 'vitest'
import { shiftSentence } from '../../../shared/model/lot-sentences.ts'

const shift = {
  ...{ group: 'B', ratio: 1.018, lower: 1.012, upper: 1.024, df: 12 },
  ...{ speedFor: 3391.7, speedLower: 3300, speedUpper: 3480, speedSet: 3390 },
  ...{ besideLower: 3371.2, besideUpper: 3412.4, equivalent: false, pDifferent: 0.001, pEquivalent: 0.4 },
}
const asked = { reference: 'A', level: 0.95, unit: 'rpm' }

test('a shift is said with its interval, and the speed that corrects it with its own', () => {
  expect(shiftSentence(shift, asked)).toBe(
    'Films of lot B are 1.80 % thicker than those of lot A (between 1.20 % thicker and 2.40 % thicker, 95 % interval). ' +
      'At 3390 rpm (3371 to 3412) they are as thick as those of lot A at its own speed.',
  )
})

test('one that may be none is called so, and one without an interval is not given one', () => {
  const none = shiftSentence({ ...shift, ratio: 0.998, lower: 0.991, upper: 1.005, speedSet: null }, asked)
  expect(none).toContain('0.20 % thinner')
  expect(none).toContain('between 0.90 % thinner and 0.50 % thicker')
  expect(none).toContain('which may as well be no difference')
  expect(none).toContain('At 3392 rpm')
  expect(shiftSentence({ ...shift, lower: null, upper: null }, asked)).toContain('the runs cannot tell')
})
