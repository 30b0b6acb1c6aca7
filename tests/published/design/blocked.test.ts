import { describe, expect, test } from 'vitest'
import type { DesignSettings, Factor } from '../../../shared/contract/things.ts'
import { precisionOf } from '../../../shared/design/choose-visits.ts'
import { usualTerms } from '../../../shared/design/design-terms.ts'
import { makePlan } from '../../../shared/design/make-plan.ts'
import { bench, continuous, fullDesign } from '../../unit/design/examples.ts'

function planOf(factors: Factor[], change: Partial<DesignSettings>) {
  const design = fullDesign({ kind: 'optimal', blocks: 2, ...change })
  const answer = makePlan({ factors, design, bench })
  if (!answer.ok) throw new Error(JSON.stringify(answer.problems))
  return answer.value
}

const stepped = (name: string, change: Partial<Factor> = {}) =>
  continuous(name, { levels: 3, step: 1, ...change })
const two = [stepped('A'), stepped('B')]

/** |Σ over blocks of (x − mean of the block)(x − mean of the block)′| for the full quadratic, by its definition. */
function informationGivenBlocks({ runs }: ReturnType<typeof planOf>): number {
  const effects = ({ coded: { A, B } }: (typeof runs)[number]) => {
    const [a, b] = [A as number, B as number]
    return [a, b, a * b, a * a, b * b]
  }
  const apart = [1, 2].flatMap((block) => {
    const rows = runs.filter((run) => run.block === block).map(effects)
    const means = rows[0]!.map((_, j) => rows.reduce((sum, row) => sum + row[j]!, 0) / rows.length)
    return rows.map((row) => row.map((value, j) => value - means[j]!))
  })
  const places = [0, 1, 2, 3, 4]
  return determinant(
    places.map((j) => places.map((k) => apart.reduce((sum, row) => sum + row[j]! * row[k]!, 0))),
  )
}

function determinant(matrix: number[][]): number {
  const [first, ...others] = matrix
  if (first === undefined) return 1
  const below = others.map((row) =>
    row.slice(1).map((value, k) => value - (row[0]! / first[0]!) * first[k + 1]!),
  )
  return first[0]! * determinant(below)
}

// Exhaustive search over the 3 × 3 grid in numpy (blocked.py).
describe.each([
  [12, 2293.33333333, 0.3097222222],
  [9, 460.8, 0.4505747126],
])('the full quadratic in two factors in %i runs in two blocks', (runs, best, least) => {
  test('D: no blocked design tells the effects better', () => {
    expect(informationGivenBlocks(planOf(two, { runs })) / best).toBeCloseTo(1, 6)
  })

  test('I: none predicts better for the mean block', () => {
    const plan = planOf(two, { runs, criterion: 'I' })
    expect(plan.evaluation.averagePredictionVariance).toBeCloseTo(least, 8)
  })
})

describe('orthogonal blocking of the 2³ cube', () => {
  const three = [stepped('A'), stepped('B'), stepped('C')]

  // Known: two blocks of four, each a half by the sign of ABC, cost the effects nothing.
  test.each(['A + B + C', 'A + B + C + A*B + A*C + B*C'])('is found for %s', (model) => {
    const { evaluation, runs } = planOf(three, { runs: 8, model })
    expect(evaluation.dEfficiency).toBeCloseTo(100, 8)
    expect(evaluation.blockEfficiency).toBeCloseTo(100, 8)
    expect(runs.filter((run) => run.block === 1)).toHaveLength(4)
  })

  test('a design whose blocks hide an effect has none of its information left', () => {
    const ends = three.map((factor) => ({ ...factor, levels: 2 }))
    const whole = planOf(ends, { kind: 'full', model: 'A*B*C' })
    expect(whole.evaluation.blockEfficiency).toBe(0)
    expect(whole.evaluation.averagePredictionVariance).toBeNull()
  })
})

// Exhaustive search over the 3 × 3 grid in numpy (blocked.py).
test.each([
  [4, 1, 0.2011853189],
  [4, 0.2, 0.3181019197],
  [6, 1, 0.2486431446],
  [6, 0.2, 0.3731275094],
])(
  'a split plot of 12 runs in 2 blocks, %i visits, variance ratio %f, is the best there is',
  (visits, varianceRatio, best) => {
    const factors = [stepped('w', { hardToChange: true }), stepped('s')]
    const plan = planOf(factors, { runs: 12, visits, varianceRatio })
    const terms = usualTerms(factors, () => true)
    expect(precisionOf(plan, terms, { varianceRatio }) / best).toBeCloseTo(1, 6)
  },
)

test('centre points stand beside the blocks of an optimal plan, which are as large as each other', () => {
  const plan = planOf(two, { runs: 12, blocks: 3, centre: 3 })
  for (const block of [1, 2, 3]) expect(plan.runs.filter((run) => run.block === block)).toHaveLength(5)
  expect(plan.evaluation.blockEfficiency).toBeGreaterThan(90)
})

test('too few runs for model and blocks are refused', () => {
  const design = fullDesign({ kind: 'optimal', runs: 7, blocks: 3 })
  const answer = makePlan({ factors: two, design, bench })
  expect(answer.ok ? null : answer.problems[0]).toMatchObject({ code: 'tooFewRuns', column: 'runs' })
})
