import { describe, expect, test } from 'vitest'
import { combinations } from '../../../shared/design/design-point.ts'
import { type DesignTerm, usualTerms } from '../../../shared/design/design-terms.ts'
import { powerOfF } from '../../../shared/design/detectable.ts'
import { type EvaluatedRun, evaluateDesign } from '../../../shared/design/evaluate.ts'
import { termsOfFormula } from '../../../shared/design/formula-terms.ts'
import { categorical, continuous } from '../../unit/design/examples.ts'

function termsOf(formula: string, factors: Parameters<typeof termsOfFormula>[1]): DesignTerm[] {
  const terms = termsOfFormula(formula, factors)
  if (!terms.ok) throw new Error(formula)
  return terms.value
}

describe('how the prediction variance is spread over the region', () => {
  test('two levels, main effects: the variance is (1 + x² + y²)/4', () => {
    const factors = [continuous('x'), continuous('y')]
    const runs = combinations([
      [-1, 1],
      [-1, 1],
    ]).map(([x, y]) => ({ coded: { x: x!, y: y! } }))
    const shares = evaluateDesign({
      factors,
      runs,
      terms: termsOf('x + y', factors),
    }).predictionVarianceShares
    const at = (share: number) => shares.find((one) => Math.abs(one.share - share) < 1e-9)?.variance
    // Below v lies the disc of radius √(4v − 1) in the square of area 4: π(4v − 1)/4 while the disc fits in.
    for (const share of [0.25, 0.5, 0.75]) expect(at(share)).toBeCloseTo((1 + (4 * share) / Math.PI) / 4, 2)
    // Beyond it, R 4.2.2: uniroot() on the area of disc and square, r² acos-segments taken off.
    expect(at(0.9)).toBeCloseTo(0.56081400078, 2)
    expect(at(0)).toBeCloseTo(0.25, 2)
    expect(at(1)).toBe(0.75)
  })

  test('its mean is the exact average, its end the largest variance, and it never falls', () => {
    const factors = [
      continuous('x', { levels: 3 }),
      continuous('y', { levels: 3 }),
      categorical('lot', ['A', 'B', 'C']),
    ]
    const runs: EvaluatedRun[] = ['A', 'B', 'C'].flatMap((lot) =>
      combinations([
        [-1, 0, 1],
        [-1, 0, 1],
      ]).map(([x, y]) => ({ coded: { x: x!, y: y!, lot } })),
    )
    const { predictionVarianceShares, averagePredictionVariance, maximumPredictionVariance } = evaluateDesign(
      {
        factors,
        runs,
        terms: usualTerms(factors, () => true),
      },
    )
    const values = predictionVarianceShares.map((one) => one.variance)
    expect(values).toEqual([...values].sort((a, b) => a - b))
    expect(values.at(-1)).toBe(maximumPredictionVariance)
    // The trapezoid over the shares, whose own error is below 2 %.
    const mean =
      values.slice(1).reduce((sum, value, i) => sum + (value + values[i]!) / 2, 0) / (values.length - 1)
    expect(mean / averagePredictionVariance!).toBeGreaterThan(0.98)
    expect(mean / averagePredictionVariance!).toBeLessThan(1.02)
  })
})

describe('a term with several degrees of freedom', () => {
  // R 4.2.2, power.anova.test: three groups, two extreme means 2σ apart, the third between them.
  test.each([
    [2, 0.185061775542],
    [3, 0.380894743936],
    [4, 0.559631029146],
    [5, 0.701508342623],
    [6, 0.805317230451],
  ])('three lots of %i runs: levels 2σ apart are found with power %f', (n, power) => {
    const factors = [categorical('lot', ['A', 'B', 'C'])]
    const runs = ['A', 'B', 'C'].flatMap((lot) => Array.from({ length: n }, () => ({ coded: { lot } })))
    const { smallestDifferences } = evaluateDesign({ factors, runs, terms: termsOf('lot', factors), power })
    expect(smallestDifferences).toHaveLength(1)
    expect(smallestDifferences[0]).toMatchObject({ term: 'lot', df: 2, stratum: 'run' })
    expect(smallestDifferences[0]!.errorDf).toBeCloseTo(3 * (n - 1), 9)
    expect(smallestDifferences[0]!.effect).toBeCloseTo(2, 7)
  })

  test('power of the F test: four groups of 5, variance 1 between and 3 within', () => {
    // power.anova.test(groups = 4, n = 5, between.var = 1, within.var = 3): λ = (groups − 1)·n·between/within.
    expect(powerOfF((3 * 5 * 1) / 3, 3, 16)).toBeCloseTo(0.353559423815, 9)
  })

  test('a crossed pair of named factors: the difference of differences, by hand', () => {
    // Two runs a cell of 3 × 2: an interaction contrast of size Δ spread as ±Δ/4 over four cells has
    // λ = 2·4·(Δ/4)² = Δ²/2 with 2 and 6 degrees of freedom.
    const factors = [categorical('lot', ['A', 'B', 'C']), categorical('tool', ['1', '2'])]
    const runs = combinations([
      ['A', 'B', 'C'],
      ['1', '2'],
    ]).flatMap(([lot, tool]) => [
      { coded: { lot: lot!, tool: tool! } },
      { coded: { lot: lot!, tool: tool! } },
    ])
    const found = evaluateDesign({ factors, runs, terms: termsOf('lot*tool', factors) }).smallestDifferences
    const both = found.find((one) => one.term === 'lot.tool')
    expect(both?.errorDf).toBeCloseTo(6, 9)
    expect(powerOfF((both?.effect as number) ** 2 / 2, 2, 6)).toBeCloseTo(0.8, 8)
  })
})

test('correlations of estimates are those of the inverse information', () => {
  // x and x² on the settings 0, 0.5, 1 with two runs each: cov2cor(solve(crossprod(X))) in R 4.2.2.
  const factors = [continuous('x')]
  const runs = [0, 0, 0.5, 0.5, 1, 1].map((x) => ({ coded: { x } }))
  const { correlations } = evaluateDesign({ factors, runs, terms: termsOf('x + x^2', factors) })
  expect(correlations.terms).toEqual(['x', 'x^2'])
  expect(correlations.matrix[0]![1]).toBeCloseTo(-0.960768922830523, 11)
  expect(correlations.strongest).toEqual([
    { term: 'x', with: 'x^2', correlation: correlations.matrix[0]![1] },
  ])
})

test('repeats between blocks and within visits, by hand', () => {
  // Two visits at each of two settings with the same two runs in each: 8 runs. Between the visits 4 − 1 − 1 = 2
  // degrees of freedom, all from repeated visits; within, 4 less the 2 of speed and bake.speed, all from repeats.
  const factors = [continuous('bake', { hardToChange: true }), continuous('speed')]
  const runs = [-1, 1, -1, 1].flatMap((bake, visit) =>
    [-1, 1].map((speed) => ({ coded: { bake, speed }, plateVisit: visit + 1 })),
  )
  const { strata } = evaluateDesign({ factors, runs, terms: termsOf('bake*speed', factors) })
  expect(strata).toEqual([
    { stratum: 'plateVisit', df: 2, pureErrorDf: 2, lackOfFitDf: 0 },
    { stratum: 'run', df: 2, pureErrorDf: 2, lackOfFitDf: 0 },
  ])
  // The same 8 runs as two blocks of a 2²: 8 − 2 − 3 = 3 degrees of freedom, all from repeats across blocks.
  const blocks = runs.map(({ coded }, i) => ({ coded, block: i < 4 ? 1 : 2 }))
  const easy = factors.map((factor) => ({ ...factor, hardToChange: false }))
  expect(evaluateDesign({ factors: easy, runs: blocks, terms: termsOf('bake*speed', easy) }).strata).toEqual([
    { stratum: 'run', df: 3, pureErrorDf: 3, lackOfFitDf: 0 },
  ])
})
