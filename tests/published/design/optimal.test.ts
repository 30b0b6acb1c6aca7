import { describe, expect, test } from 'vitest'
import type { DesignSettings, Factor } from '../../../shared/contract/things.ts'
import { makePlan } from '../../../shared/design/make-plan.ts'
import { bench, categorical, continuous, fullDesign } from '../../unit/design/examples.ts'

function planOf(factors: Factor[], change: Partial<DesignSettings>) {
  const answer = makePlan({ factors, design: fullDesign({ kind: 'optimal', ...change }), bench })
  if (!answer.ok) throw new Error(JSON.stringify(answer.problems))
  return answer.value
}

/** Factors that can be set to −1, 0 and 1 only, or anything in between. */
const stepped = (k: number) =>
  Array.from({ length: k }, (_, i) => continuous('ABCDE'[i]!, { levels: 3, step: 1 }))
const free = (k: number) => stepped(k).map((factor) => ({ ...factor, step: null }))

const determinantOf = (plan: ReturnType<typeof planOf>) =>
  ((plan.evaluation.dEfficiency! * plan.runs.length) / 100) ** plan.evaluation.terms.length

describe('D-optimal', () => {
  // Best |X′X| of the full quadratic over the 3² grid, by exhaustive search.
  test.each([
    [6, 256],
    [7, 960],
    [8, 2304],
    [9, 5184],
    [10, 9360],
  ])('two factors on the 3² grid in %i runs reach the best there is', (runs, determinant) => {
    expect(determinantOf(planOf(stepped(2), { runs }))).toBeCloseTo(determinant, 4)
  })

  // Best found over the 3³ grid by point exchange from many random starts: a lower bound of the best.
  test.each([
    [10, 1.3271e6],
    [11, 8388608],
    [12, 2.09715e7],
    [13, 5.96091e7],
    [14, 131072000],
    [15, 2.4192e8],
    [16, 4.49907e8],
    [18, 1.52707e9],
    [20, 4.73591e9],
  ])('three factors on the 3³ grid in %i runs are within 1 % of the best known', (runs, determinant) => {
    const plan = planOf(stepped(3), { runs })
    expect(plan.evaluation.dEfficiency!).toBeGreaterThan((0.99 * 100 * determinant ** (1 / 10)) / runs)
  })

  // Free settings hold those of the grid, so the best cannot be worse; the bound above is the continuous optimum,
  // |M|^(1/6) = 0.474593766213 (checked by the equivalence theorem on a 201 × 201 grid).
  test.each([
    [6, 256],
    [7, 960],
    [8, 2304],
    [9, 5184],
    [10, 9360],
  ])('two factors free to take any setting in %i runs are no worse than the grid', (runs, determinant) => {
    const { dEfficiency } = planOf(free(2), { runs }).evaluation
    expect(dEfficiency!).toBeGreaterThan((100 * determinant ** (1 / 6)) / runs - 1e-6)
    expect(dEfficiency!).toBeLessThanOrEqual(47.4593766213)
  })

  test('two factors in six runs, free to take any setting, reach the saturated optimum', () => {
    // Box & Draper, Technometrics 13 (1971) 731–742: |X′X|/6⁶ = 0.005738537790536975 (recomputed from the
    // published runs); over the 3² grid alone the best is 0.005486968.
    const plan = planOf(free(2), { runs: 6 })
    expect(determinantOf(plan) / 6 ** 6 / 0.005738537790536975).toBeGreaterThan(0.9999)
  })

  test('main effects in 4 to 8 runs of the cube reach the best there is', () => {
    // Exhaustive over the 2³ corners: D-efficiency 100, 95.136569, 94.280904, 96.102447, 100 %.
    for (const [runs, efficiency] of [
      [4, 100],
      [5, 95.136569],
      [6, 94.280904],
      [7, 96.102447],
      [8, 100],
    ] as const)
      expect(planOf(stepped(3), { runs, model: 'A + B + C' }).evaluation.dEfficiency).toBeCloseTo(
        efficiency,
        5,
      )
  })

  test('the example of the handbook comes out: 12 runs, one square', () => {
    // NIST/SEMATECH e-Handbook, 5.5.2.1.1: D-efficiency 68.2558 (from memory, recomputed over its 20 candidates).
    const plan = planOf(
      [continuous('A', { step: 0.5, levels: 3 }), continuous('B', { step: 2 }), continuous('C', { step: 2 })],
      { runs: 12, model: 'A + B + C + A^2' },
    )
    expect(plan.evaluation.dEfficiency).toBeCloseTo(68.2557503693, 6)
    // Its G-efficiency is 100 %: the largest variance is p/n.
    expect(plan.evaluation.maximumPredictionVariance).toBeCloseTo(5 / 12, 9)
  })

  // The following by exhaustive search in Python (numpy) over the candidates named.
  test('levels by name: straight lines of a 3-level factor in three lots, with one square', () => {
    const factors = [continuous('s', { levels: 3, step: 1 }), categorical('lot', ['A', 'B', 'C'])]
    expect(determinantOf(planOf(factors, { runs: 8 }))).toBeCloseTo(15552, 3)
    expect(determinantOf(planOf(factors, { runs: 9 }))).toBeCloseTo(34992, 3)
  })

  test('combinations left out are left out, and the best of the rest is found', () => {
    const factors = stepped(2).map((factor) => ({ ...factor, step: 0.5 }))
    const plan = planOf(factors, { runs: 6, forbid: 'A > 0 and B > 0' })
    expect(plan.runs.some(({ settings }) => (settings.A as number) > 0 && (settings.B as number) > 0)).toBe(
      false,
    )
    expect(determinantOf(plan)).toBeCloseTo(144, 5)
  })

  test('runs already made are kept and completed in the best way', () => {
    const keep = [-1, 1].flatMap((A) => [-1, 1].map((B) => ({ A, B })))
    const plan = planOf(stepped(2), { runs: 3, keep })
    expect(plan.runs.map((run) => run.kind)).toEqual([
      ...new Array(4).fill('kept'),
      ...new Array(3).fill('optimal'),
    ])
    expect(plan.runs.slice(0, 4).map((run) => run.settings)).toEqual(keep)
    expect(determinantOf(plan)).toBeCloseTo(960, 5)
    expect(plan.budget.substrates).toBe(3 + 2 + 5)
  })
})

describe('I-optimal', () => {
  // Best average prediction variance over the square, full quadratic, 3² grid: exhaustive search in Python (numpy).
  test.each([
    [6, 0.9666666666666666],
    [7, 0.6655555555555555],
    [8, 0.5217948717948718],
    [9, 0.4388888888888889],
    [10, 0.3658730158730159],
  ])('two factors on the 3² grid in %i runs reach the best there is', (runs, average) => {
    const plan = planOf(stepped(2), { runs, criterion: 'I' })
    expect(plan.evaluation.averagePredictionVariance).toBeCloseTo(average, 7)
  })

  test('one curved factor in 12 runs puts half of them in the middle', () => {
    // The I-optimal measure of a quadratic on an interval has weights 1/4, 1/2, 1/4 (the D-optimal 1/3 each):
    // Studden, Annals of Mathematical Statistics 39 (1968) 1435–1447; from memory.
    const count = (criterion: 'D' | 'I') => {
      const values = planOf(free(1), { runs: 12, criterion }).runs.map((run) => run.coded.A as number)
      return [-1, 0, 1].map((at) => values.filter((value) => Math.abs(value - at) < 1e-3).length)
    }
    expect(count('I')).toEqual([3, 6, 3])
    expect(count('D')).toEqual([4, 4, 4])
  })
})
