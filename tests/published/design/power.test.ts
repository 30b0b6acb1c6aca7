import { expect, test } from 'vitest'
import { combinations } from '../../../shared/design/design-point.ts'
import { usualTerms } from '../../../shared/design/design-terms.ts'
import { powerOfT } from '../../../shared/design/detectable.ts'
import { evaluateDesign } from '../../../shared/design/evaluate.ts'
import { continuous } from '../../unit/design/examples.ts'

// Power of the two-sided t test at 0.05 with both tails counted, computed in R 4.2.2 (power.t.test with
// strict = TRUE, pt).
test.each([
  ['two samples of 20, 1σ apart', 1 / Math.sqrt(2 / 20), 38, 0.868953027724],
  ['two samples of 5, 1σ apart', 1 / Math.sqrt(2 / 5), 8, 0.286295493381],
  ['2³ main effect of 2σ, N = 8', Math.sqrt(8), 1, 0.175707411099],
  ['2³ main effect of 2σ, N = 16', 4, 9, 0.943717832446],
  ['2³ main effect of 2σ, N = 32', Math.sqrt(32), 25, 0.999738919738],
  ['2³ main effect of 1σ, N = 8', Math.sqrt(8) / 2, 1, 0.0928091550565],
  ['2³ main effect of 1σ, N = 16', 2, 9, 0.43132631472],
  ['2³ main effect of 1σ, N = 32', Math.sqrt(32) / 2, 25, 0.775897535405],
])('power: %s', (_, delta, df, power) => {
  expect(powerOfT(delta, df)).toBeCloseTo(power, 9)
})

test.each([
  [1, 0.175707411099],
  [2, 0.943717832446],
  [4, 0.999738919738],
])('2³ replicated %i times finds a coefficient of 1σ with the power of the tables', (replicates, power) => {
  const names = ['A', 'B', 'C']
  const factors = names.map((name) => continuous(name))
  const runs = Array.from({ length: replicates }, () =>
    combinations([
      [-1, 1],
      [-1, 1],
      [-1, 1],
    ]),
  )
    .flat()
    .map((row) => ({ coded: Object.fromEntries(row.map((value, i) => [names[i]!, value])) }))
  const { smallestDetectable, residualDf, pureErrorDf } = evaluateDesign({
    factors,
    runs,
    terms: usualTerms(factors, () => false),
    power,
  })
  // Main effect of 2σ from low to high is a coefficient of 1σ; the model has 7 terms.
  for (const one of smallestDetectable) expect(one.effect).toBeCloseTo(1, 8)
  expect(residualDf).toBe(8 * replicates - 7)
  expect(pureErrorDf).toBe(8 * (replicates - 1))
})
