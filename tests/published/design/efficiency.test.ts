import { describe, expect, test } from 'vitest'
import { basisOf, inverseRoot, logDeterminant } from '../../../shared/design/basis.ts'
import { combinations } from '../../../shared/design/design-point.ts'
import { columnsOf, placeOf, usualTerms } from '../../../shared/design/design-terms.ts'
import { evaluateDesign } from '../../../shared/design/evaluate.ts'
import { termsOfFormula } from '../../../shared/design/formula-terms.ts'
import { varianceAt } from '../../../shared/design/prediction-variance.ts'
import { continuous } from '../../unit/design/examples.ts'

const grid = (k: number, levels: number[]) => combinations(Array.from({ length: k }, () => levels))
const centres = (k: number, count: number) =>
  Array.from({ length: count }, () => new Array<number>(k).fill(0))
const star = (k: number, alpha: number) =>
  Array.from({ length: k }, (_, i) =>
    [-alpha, alpha].map((value) => Array.from({ length: k }, (_, j) => (i === j ? value : 0))),
  ).flat()
const composite = (k: number, alpha: number, centre: number) => [
  ...grid(k, [-1, 1]),
  ...star(k, alpha),
  ...centres(k, centre),
]
const boxBehnken = (k: number, pairs: [number, number][], centre: number) => [
  ...pairs.flatMap(([a, b]) =>
    grid(2, [-1, 1]).map(([x, y]) => Array.from({ length: k }, (_, j) => (j === a ? x! : j === b ? y! : 0))),
  ),
  ...centres(k, centre),
]
const allPairs = (k: number) =>
  Array.from({ length: k }, (_, a) =>
    Array.from({ length: k - a - 1 }, (_, b) => [a, a + b + 1] as [number, number]),
  ).flat()

const factorsOf = (k: number) => Array.from({ length: k }, (_, i) => continuous('ABCDE'[i]!))
const runsOf = (rows: number[][]) =>
  rows.map((row) => ({ coded: Object.fromEntries(row.map((value, i) => ['ABCDE'[i]!, value])) }))

/** Terms by the kind of model that the table names. */
function termsOf(k: number, model: 'main' | 'interactions' | 'quadratic') {
  const factors = factorsOf(k)
  const terms = usualTerms(factors, () => model === 'quadratic')
  return model === 'main' ? terms.slice(0, k + 1) : terms
}

// D- and A-efficiency 100·|X′X|^(1/p)/n and 100·p/(n·tr(X′X)⁻¹) in ±1 coding and the largest leverage of a run,
// computed for the textbook designs in exact and double arithmetic (R 4.2.2, scipy). The designs: Box, Hunter &
// Hunter (1978); Box & Behnken, Technometrics 2 (1960); NIST/SEMATECH e-Handbook, 5.3.3.6.
const table: [string, number[][], 'main' | 'interactions' | 'quadratic', number, number, number][] = [
  ['2², main effects', grid(2, [-1, 1]), 'main', 100, 100, 0.75],
  ['2³, main effects', grid(3, [-1, 1]), 'main', 100, 100, 0.5],
  ['2³, interactions', grid(3, [-1, 1]), 'interactions', 100, 100, 0.875],
  [
    '2^(4−1), main effects',
    grid(3, [-1, 1]).map((row) => [...row, row[0]! * row[1]! * row[2]!]),
    'main',
    100,
    100,
    0.625,
  ],
  [
    '2^(5−1), interactions',
    grid(4, [-1, 1]).map((row) => [...row, row[0]! * row[1]! * row[2]! * row[3]!]),
    'interactions',
    100,
    100,
    1,
  ],
  ['3², quadratic', grid(2, [-1, 0, 1]), 'quadratic', 46.224085, 31.168831, 0.805556],
  ['3³, quadratic', grid(3, [-1, 0, 1]), 'quadratic', 44.21342, 31.496063, 0.509259],
  ['composite k = 2, α √2, 5 centre', composite(2, Math.SQRT2, 5), 'quadratic', 56.901883, 46.738072, 0.625],
  [
    'composite k = 3, α 1.6818, 6 centre',
    composite(3, 8 ** 0.25, 6),
    'quadratic',
    61.578977,
    51.58999,
    0.669768,
  ],
  ['composite k = 4, α 2, 6 centre', composite(4, 2, 6), 'quadratic', 72.051202, 58.536585, 0.583333],
  ['face-centred k = 2, 5 centre', composite(2, 1, 5), 'quadratic', 38.891981, 31.187453, 0.79023],
  ['face-centred k = 3, 1 centre', composite(3, 1, 1), 'quadratic', 44.716313, 31.290743, 0.797222],
  ['face-centred k = 3, 6 centre', composite(3, 1, 6), 'quadratic', 36.672901, 26.537998, 0.793182],
  ['Box–Behnken k = 3, 3 centre', boxBehnken(3, allPairs(3), 3), 'quadratic', 36.642902, 29.357798, 0.75],
  ['Box–Behnken k = 4, 3 centre', boxBehnken(4, allPairs(4), 3), 'quadratic', 25.216341, 19.047619, 0.583333],
]

test.each(table)(
  '%s has the efficiencies of the tables',
  (_, rows, model, dEfficiency, aEfficiency, leverage) => {
    const k = rows[0]!.length
    const factors = factorsOf(k)
    const terms = termsOf(k, model)
    const places = runsOf(rows).map((run) => placeOf(factors, run.coded))
    const basis = basisOf(columnsOf(terms, places))
    const p = terms.length
    expect(evaluateDesign({ factors, runs: runsOf(rows), terms }).dEfficiency).toBeCloseTo(dEfficiency, 5)
    // The trace of (X′X)⁻¹ is the sum of squares of R⁻¹.
    const trace = inverseRoot(basis).reduce((sum, value) => sum + value ** 2, 0)
    expect((100 * p) / (rows.length * trace)).toBeCloseTo(aEfficiency, 5)
    const variance = { factors, terms, root: inverseRoot(basis) }
    expect(Math.max(...places.map((place) => varianceAt(variance, place)))).toBeCloseTo(leverage, 5)
  },
)

describe('rotatable composites', () => {
  // x′(X′X)⁻¹x at radius 1, the same in every direction, and at the centre (recomputed in double precision).
  test.each([
    [2, Math.SQRT2, 5, 0.26875, 0.2],
    [3, 8 ** 0.25, 6, 0.195369357606, 0.166340226727],
  ])('for %i factors predict equally well in every direction', (k, alpha, centre, atOne, atCentre) => {
    const factors = factorsOf(k)
    const terms = termsOf(k, 'quadratic')
    const places = runsOf(composite(k, alpha, centre)).map((run) => placeOf(factors, run.coded))
    const variance = { factors, terms, root: inverseRoot(basisOf(columnsOf(terms, places))) }
    expect(varianceAt(variance, new Float64Array(k))).toBeCloseTo(atCentre, 11)
    for (let i = 0; i < 24; i++) {
      const direction = Float64Array.from({ length: k }, (_, j) => Math.cos(1 + i * (j + 1)))
      const length = Math.hypot(...direction)
      expect(
        varianceAt(
          variance,
          direction.map((value) => value / length),
        ),
      ).toBeCloseTo(atOne, 11)
    }
  })
})

test('the published D-optimal example has its published efficiencies', () => {
  // NIST/SEMATECH e-Handbook, 5.5.2.1.1: X1 ∈ {−1, 0, 1} × X2, X3 ∈ {−1, 1} for a model with one square;
  // D 68.2558, largest prediction standard error 0.6455 (printed values from memory, recomputed: det 36864).
  const factors = factorsOf(3)
  const rows = combinations([
    [-1, 0, 1],
    [-1, 1],
    [-1, 1],
  ])
  const terms = termsOfFormula('A + B + C + A^2', factors)
  if (!terms.ok) throw new Error('the model')
  const basis = basisOf(
    columnsOf(
      terms.value,
      runsOf(rows).map((run) => placeOf(factors, run.coded)),
    ),
  )
  expect(Math.exp(logDeterminant(basis))).toBeCloseTo(36864, 6)
  const evaluation = evaluateDesign({ factors, runs: runsOf(rows), terms: terms.value })
  expect(evaluation.dEfficiency).toBeCloseTo(68.2557503693, 9)
  expect(Math.sqrt(evaluation.maximumPredictionVariance as number)).toBeCloseTo(0.645497224368, 9)
})

test('the average and largest variance of the face-centred square are those of numerical integration', () => {
  // R 4.2: integrate() twice over the square, and the largest of a 201 × 201 grid (at the corners).
  const evaluation = evaluateDesign({
    factors: factorsOf(2),
    runs: runsOf(composite(2, 1, 5)),
    terms: termsOf(2, 'quadratic'),
  })
  expect(evaluation.averagePredictionVariance).toBeCloseTo(0.28754789272, 10)
  expect(evaluation.maximumPredictionVariance).toBeCloseTo(0.790229885057, 10)
})

test('the quarter fraction of five factors mixes the effects that its table prints', () => {
  // 2^(5−2) with 4 = 12 and 5 = 13 (Box, Hunter & Hunter 1978, as printed in NIST's design files):
  // 1 = 24 = 35, 2 = 14, 3 = 15, 4 = 12, 5 = 13, 23 = 45, 25 = 34.
  const rows = grid(3, [-1, 1]).map((row) => [...row, row[0]! * row[1]!, row[0]! * row[2]!])
  const { aliases, dEfficiency } = evaluateDesign({
    factors: factorsOf(5),
    runs: runsOf(rows),
    terms: termsOf(5, 'interactions'),
  })
  expect(dEfficiency).toBe(0)
  expect(aliases.flatMap((alias) => alias.with.map(({ coefficient }) => coefficient))).toEqual(
    new Array(8).fill(1),
  )
  const mixed = aliases.map((alias) => [alias.term, ...alias.with.map(({ term }) => term)])
  expect(mixed).toEqual([
    ['A', 'B.D', 'C.E'],
    ['B', 'A.D'],
    ['C', 'A.E'],
    ['D', 'A.B'],
    ['E', 'A.C'],
    ['B.C', 'D.E'],
    ['B.E', 'C.D'],
  ])
})
