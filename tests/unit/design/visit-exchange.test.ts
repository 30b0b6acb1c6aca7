import { describe, expect, test } from 'vitest'
import { usualTerms } from '../../../shared/design/design-terms.ts'
import { makePlan } from '../../../shared/design/make-plan.ts'
import { exchangeInVisits } from '../../../shared/design/visit-exchange.ts'
import { seeded } from '../../../shared/random.ts'
import { bake, bench, continuous, fullDesign, speed, time } from './examples.ts'

const factors = [continuous('w', { levels: 3, hardToChange: true }), continuous('s', { levels: 3 })]
const three = { coarse: Float64Array.of(-1, 0, 1), fine: Float64Array.of(-1, 0, 1), free: false }
const terms = usualTerms(factors, () => true)

/** X′V⁻¹X with V = I + ratio·ZZ′, by its definition. */
function information(runs: { place: Float64Array; visit: number }[], ratio: number): number[][] {
  const rows = runs.map(({ place: [w, s] }) => [1, w!, s!, w! * s!, w! ** 2, s! ** 2])
  return rows[0]!.map((_, a) =>
    rows[0]!.map((__, b) =>
      runs.reduce(
        (sum, one, i) =>
          sum +
          runs.reduce((part, other, j) => {
            const size = runs.filter((run) => run.visit === one.visit).length
            const weight = (i === j ? 1 : 0) - (one.visit === other.visit ? ratio / (1 + size * ratio) : 0)
            return part + weight * rows[i]![a]! * rows[j]![b]!
          }, 0),
        0,
      ),
    ),
  )
}

function determinant(matrix: number[][]): number {
  const m = matrix.map((row) => [...row])
  let product = 1
  for (let j = 0; j < m.length; j++) {
    product *= m[j]![j]!
    for (let i = j + 1; i < m.length; i++) {
      const share = m[i]![j]! / m[j]![j]!
      for (let k = j; k < m.length; k++) m[i]![k]! -= share * m[j]![k]!
    }
  }
  return product
}

// Best |X′V⁻¹X| over all designs of equal visits on the 3 × 3 grid, full quadratic: exhaustive in Python (numpy).
describe.each([
  [4, 2, 1, 56.691358024691326],
  [5, 2, 1, 228.60905349794223],
  [4, 3, 0.25, 4728.909620991252],
  [5, 2, 5, 4.139607950276609],
])('%i visits of %i runs, visit variance %f', (visits, each, varianceRatio, best) => {
  test('reach the best split plot there is', () => {
    const found = exchangeInVisits({
      factors,
      terms,
      criterion: 'D',
      runs: visits * each,
      visits,
      blocks: 1,
      varianceRatio,
      fixed: [],
      choices: [three, three],
      allowed: null,
      random: seeded(3),
      starts: 30,
      work: 1e9,
    })
    const runs = found?.runs
    expect(runs).toHaveLength(visits * each)
    expect(determinant(information(runs!, varianceRatio)) / best).toBeCloseTo(1, 6)
    for (let visit = 0; visit < visits; visit++)
      expect(new Set(runs!.filter((run) => run.visit === visit).map((run) => run.place[0])).size).toBe(1)
  })
})

describe('an optimal plan in visits', () => {
  const answer = makePlan({
    factors: [{ ...speed, levels: 3 }, { ...time, levels: 3 }, bake],
    design: fullDesign({ kind: 'optimal', runs: 18, visits: 6, centre: 2 }),
    bench,
  })
  if (!answer.ok) throw new Error(JSON.stringify(answer.problems))
  const plan = answer.value

  test('keeps its visits, each at one plate setting, and can test bake', () => {
    const made = plan.runs.filter((run) => run.kind === 'optimal')
    expect(made).toHaveLength(18)
    expect(new Set(made.map((run) => run.plateVisit)).size).toBe(6)
    for (const visit of new Set(plan.runs.map((run) => run.plateVisit)))
      expect(
        new Set(plan.runs.filter((run) => run.plateVisit === visit).map((run) => run.settings.bake)).size,
      ).toBe(1)
    const effect = plan.evaluation.smallestDetectable.find((one) => one.term === 'bake')
    expect(effect?.stratum).toBe('plateVisit')
    expect(effect?.effect).toBeGreaterThan(0)
    expect(plan.runs.every((run) => !('visit' in run))).toBe(true)
  })

  test('in blocks has every visit in one of them, and needs a visit for each', () => {
    const inBlocks = (visits: number, blocks: number) =>
      makePlan({
        factors: [speed, bake],
        design: fullDesign({ kind: 'optimal', runs: 12, visits, blocks, centre: 3 }),
        bench,
      })
    const made = inBlocks(4, 2)
    if (!made.ok) throw new Error(JSON.stringify(made.problems))
    const fresh = made.value.runs.filter((run) => run.kind === 'optimal')
    const blockOf = new Map(fresh.map((run) => [run.plateVisit, run.block]))
    expect([...blockOf.values()].sort()).toEqual([1, 1, 2, 2])
    for (const run of fresh) expect(run.block).toBe(blockOf.get(run.plateVisit))
    expect(made.value.designInWords).toContain('beside the shifts of 2 blocks for 4 visits')
    const refused = inBlocks(2, 3)
    expect(refused.ok ? null : refused.problems[0]).toEqual({
      code: 'tooFewVisits',
      message:
        'Each visit lies in one block, so 2 visits do not fill 3 blocks. Take at least 3 visits, or fewer blocks.',
      column: 'visits',
    })
  })

  test('is refused with replicates', () => {
    const design = fullDesign({ kind: 'optimal', runs: 12, visits: 4, replicates: 2 })
    const refused = makePlan({ factors: [speed, bake], design, bench })
    expect(refused.ok ? null : refused.problems[0]).toMatchObject({ code: 'visitsAlone', column: 'visits' })
  })
})
