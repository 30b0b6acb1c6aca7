import { describe, expect, test } from 'vitest'
import { usualTerms } from '../../../shared/design/design-terms.ts'
import { detectableShift, powerOfT } from '../../../shared/design/detectable.ts'
import { evaluateDesign } from '../../../shared/design/evaluate.ts'
import { termsOfFormula } from '../../../shared/design/formula-terms.ts'
import { categorical, continuous } from './examples.ts'

describe('a split plot', () => {
  const factors = [continuous('bake', { hardToChange: true }), continuous('speed')]
  const runs = [-1, 1, 0, 1, -1].flatMap((bake, visit) =>
    [-1, 0, 1].map((speed) => ({ coded: { bake, speed }, plateVisit: visit + 1 })),
  )
  const terms = termsOfFormula('bake*speed + speed^2', factors)
  if (!terms.ok) throw new Error('the model')

  // Standard errors by generalized least squares, V = I + ratio·ZZ′, and the non-central t: computed in R 4.2
  // with solve() and pt(); 7 degrees of freedom between runs, 3 between visits.
  test.each([
    [1, 0.57735026919],
    [0.25, 0.381881307913],
  ])('has its errors in two strata (visit variance %f)', (varianceRatio, ofBake) => {
    const effects = evaluateDesign({ factors, runs, terms: terms.value, varianceRatio }).smallestDetectable
    const expected: [string, string, number][] = [
      ['bake', 'plateVisit', 4.25589868651 * ofBake],
      ['speed', 'run', 3.26975984039 * 0.316227766017],
      ['bake.speed', 'run', 3.26975984039 * 0.353553390593],
      ['speed^2', 'run', 3.26975984039 * 0.547722557505],
    ]
    expect(effects.map((one) => [one.term, one.stratum]).sort()).toEqual(
      expected.map(([term, stratum]) => [term, stratum]).sort(),
    )
    for (const [term, , effect] of expected)
      expect(effects.find((one) => one.term === term)?.effect).toBeCloseTo(effect, 8)
  })
})

describe('prediction variance', () => {
  test('weighs levels by name equally, with sum-to-zero columns', () => {
    const factors = [continuous('s'), categorical('lot', ['A', 'B', 'C'])]
    const runs = ['A', 'B', 'C'].flatMap((lot) => [-1, 1].map((s) => ({ coded: { s, lot } })))
    const evaluation = evaluateDesign({ factors, runs, terms: usualTerms(factors, () => false) })
    // R 4.2: det(crossprod(X)) with sum-to-zero contrasts, integrate() over the factor and the three levels.
    expect(evaluation.dEfficiency).toBeCloseTo(69.3361274351, 8)
    expect(evaluation.averagePredictionVariance).toBeCloseTo(2 / 3, 12)
    expect(evaluation.maximumPredictionVariance).toBeCloseTo(1, 12)
  })

  test('finds a largest value between the runs', () => {
    const factors = [continuous('x')]
    const runs = [-1, -1, -1, 0.2, 1, 1, 1].map((x) => ({ coded: { x } }))
    const evaluation = evaluateDesign({ factors, runs, terms: usualTerms(factors, () => true) })
    // R 4.2: optimize() of the variance between the runs.
    expect(evaluation.maximumPredictionVariance).toBeCloseTo(1.09318555918, 9)
  })
})

describe('the smallest effect that can be found', () => {
  // R 4.2: uniroot() on pt() with non-centrality, both tails, α 0.05, power 0.8.
  test.each([
    [1, 16.3340088699],
    [3, 4.25589868651],
    [4, 3.76105955382],
    [9, 3.14963288645],
    [13, 3.03129127935],
  ])('with %i degrees of freedom is %f standard errors', (df, shift) => {
    expect(detectableShift(0.8, df)).toBeCloseTo(shift, 7)
  })

  test('is unknown without degrees of freedom, and gives back its power', () => {
    expect(detectableShift(0.8, 0)).toBeNull()
    for (const power of [0.1, 0.5, 0.9, 0.99])
      expect(powerOfT(detectableShift(power, 12) as number, 12)).toBeCloseTo(power, 9)
  })
})
