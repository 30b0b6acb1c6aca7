import { expect, test } from 'vitest'
import { equivalencePower, runsForEquivalence } from '../../../shared/model/equivalence-power.ts'
import { holm } from '../../../shared/model/holm.ts'
import { compareGroups } from '../../../shared/model/lots.ts'
import { tableOf } from '../../unit/model/some-runs.ts'
import { closeTo } from './close-to.ts'

test.each([
  [3, 0.0037, 0.01, 1, 0.7209006407],
  [4, 0.0037, 0.01, 1, 0.9119916893],
  [5, 0.0037, 0.01, 1, 0.9745208639],
  [8, 0.0037, 0.01, 1, 0.9994952656],
  [4, 0.0037, 0.01, 1.005, 0.5133961943],
  [6, 0.0045, 0.02, 1.01, 0.9695703598],
])(
  '%d runs of each lot, deviation %d, margin %d, true ratio %d: chance %d',
  (runs, deviation, margin, ratio, chance) => {
    // R 4.2.2: integrate over the chi-squared of the estimated variance, equivalence-power.R.
    expect(Math.abs(equivalencePower({ runs, deviation, margin, ratio }) - chance)).toBeLessThan(2e-4)
  },
)

test('the fewest runs for a chance of 90 %: 4 of each at 0.37 % and ±1 %; one run of each shows nothing', () => {
  expect(runsForEquivalence({ deviation: 0.0037, margin: 0.01, power: 0.9 })).toBe(4)
  expect(runsForEquivalence({ deviation: 0.0037, margin: 0.001, power: 0.9, most: 50 })).toBeNull()
  expect(equivalencePower({ runs: 1, deviation: 0.0037, margin: 0.01 })).toBe(0)
})

test('Holm’s steps as R’s p.adjust(c(0.01, 0.04, 0.03, 0.005), "holm")', () => {
  expect(holm([0.01, 0.04, 0.03, 0.005])).toEqual([0.03, 0.06, 0.06, 0.02])
  expect(holm([])).toEqual([])
})

// Two sets of 16 films (Hurwitz & Spagon, SEMATECH report, Statistical Methods for Test Procedures, 1.3).
const films = [
  [2987, 3238, 3459, 3361, 3487, 2884, 3405, 3034, 3281, 3258, 3039, 3191, 3086, 3300, 2980, 3210],
  [3163, 3577, 2944, 3038, 3365, 3068, 3133, 3013, 2938, 2974, 3242, 2781, 3151, 3744, 3029, 3240],
] as const
const table = tableOf({
  set: films.flatMap((own, i) => own.map(() => `test ${i + 1}`)),
  thickness: films.flat(),
})

test('two one-sided tests of the ratio, on the log scale and as measured', () => {
  const shiftOf = (model: string, margin: number) => {
    const answer = compareGroups({ table, model, by: 'set', target: null, margin })
    if (!answer.ok) throw new Error(answer.problems[0]?.message)
    return answer.value.shifts[0]!
  }
  // R: d <- summary(lm(log(thickness) ~ set))$coefficients[2, ]; t = (d[1] - log(1 ± margin))/d[2] on 30 df.
  const onLog = shiftOf('log(thickness) ~ 1', 0.05)
  closeTo(onLog.pDifferent, 0.4800983998529, 1e-8)
  closeTo(onLog.pEquivalent, 0.0788727692147, 1e-8)
  expect(onLog.equivalent).toBe(false)
  // As measured: the pooled t of 0.65357, and (x2 - (1 ± margin) x1)/sqrt(s²(1 + (1 ± margin)²)/16).
  const plain = shiftOf('thickness ~ 1', 0.05)
  closeTo(plain.pDifferent, 0.518368171, 1e-8)
  closeTo(plain.pEquivalent, 0.075417890069, 1e-8)
})
