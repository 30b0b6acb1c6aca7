import { expect, test } from 'vitest'
import { changeAt } from '../../../shared/drift/change.ts'
import { retunedSpeed } from '../../../shared/drift/retune.ts'

test('a change at an event is Student’s two-sample t: two sets of 16 films (Hurwitz & Spagon, SEMATECH)', () => {
  const first = [
    2987, 3238, 3459, 3361, 3487, 2884, 3405, 3034, 3281, 3258, 3039, 3191, 3086, 3300, 2980, 3210,
  ]
  const second = [
    3163, 3577, 2944, 3038, 3365, 3068, 3133, 3013, 2938, 2974, 3242, 2781, 3151, 3744, 3029, 3240,
  ]
  // R: t.test(second, first, var.equal = TRUE)
  const change = changeAt(first, second)!
  expect(change).toMatchObject({ before: 3200, after: 3150, change: -50, df: 30 })
  expect(change.standardError).toBeCloseTo(76.5030500481, 9)
  expect(change.p).toBeCloseTo(0.518368171, 8)
  expect(change.lower).toBeCloseTo(-206.240071936, 7)
  expect(change.upper).toBeCloseTo(106.240071936, 7)
})

test('no change can be told from one reading on either side', () => {
  expect(changeAt([1], [2])).toBeNull()
  expect(changeAt([], [1, 2, 3])).toBeNull()
  expect(changeAt([1], [2, 2.1])?.df).toBe(1)
})

test('ten openings of +0.24 % at b 0.53: about 3430 rpm from 3280', () => {
  const { speed, lower, upper } = retunedSpeed({
    speed: 3280,
    shift: { estimate: Math.log(1.024), standardError: 0.002, df: 20 },
    exponent: { value: 0.53, standardError: 0.003 },
  })
  expect(speed).toBeCloseTo(3280 * 1.024 ** (1 / 0.53), 8)
  expect(Math.round(speed / 10) * 10).toBe(3430)
  // ± t(0.975; 20)·√(0.002² + (0.0237/0.53·0.003)²)/0.53 of ln N.
  expect(Math.log(upper / speed)).toBeCloseTo(
    (2.085963 * Math.hypot(0.002, (Math.log(1.024) / 0.53) * 0.003)) / 0.53,
    6,
  )
  expect(upper / speed).toBeCloseTo(speed / lower, 10)
})
