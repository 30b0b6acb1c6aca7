import { expect, test } from 'vitest'
import { detectableShift } from '../../../shared/design/detectable.ts'
import { makePlan } from '../../../shared/design/make-plan.ts'
import { bench, continuous, fullDesign } from './examples.ts'

const planOf = (k: number, blocks: number, levels = 2) => {
  const factors = Array.from({ length: k }, (_, i) => continuous('ABCDE'[i]!, { levels }))
  const answer = makePlan({ factors, design: fullDesign({ blocks }), bench })
  if (!answer.ok) throw new Error(JSON.stringify(answer.problems))
  return answer.value
}

test('2³ in two blocks gives up ABC and nothing else', () => {
  // The one division that leaves main effects and two-factor interactions clear (NIST/SEMATECH e-Handbook,
  // 5.3.3.3.3: the highest interaction is confounded with blocks).
  const plan = planOf(3, 2)
  for (const block of [1, 2]) {
    const products = plan.runs
      .filter((run) => run.block === block)
      .map(({ coded }) => (coded.A as number) * (coded.B as number) * (coded.C as number))
    expect(products).toHaveLength(4)
    expect(new Set(products).size).toBe(1)
  }
  expect(plan.evaluation.aliases).toEqual([])
})

test('2³ in four blocks keeps the main effects and says that interactions are lost in blocks', () => {
  const { aliases, smallestDetectable } = planOf(3, 4).evaluation
  expect(aliases.map((alias) => alias.term)).toEqual(['A.B', 'A.C', 'B.C'])
  expect(aliases.every((alias) => alias.with[0]?.term === 'block')).toBe(true)
  expect(smallestDetectable.filter((one) => one.effect === null).map((one) => one.term)).toContain('A.B')
})

test.each([
  [4, 2, 2],
  [4, 4, 2],
  [5, 2, 2],
  [5, 4, 2],
  [2, 3, 3],
  [3, 3, 3],
])('%i factors in %i blocks at %i levels: main effects balanced in every block', (k, blocks, levels) => {
  const plan = planOf(k, blocks, levels)
  for (let block = 1; block <= blocks; block++)
    for (const name of plan.factors.map((factor) => factor.name)) {
      const sum = plan.runs
        .filter((run) => run.block === block)
        .reduce((total, run) => total + (run.coded[name] as number), 0)
      expect(sum).toBeCloseTo(0, 12)
    }
})

test('in blocks with a hard plate the other effects stay clear of blocks and visits alike', () => {
  // 3 × 3 × 2 × 2 in two blocks, three visits each: 36 runs tell a two-level effect with a standard error of
  // √(1/36) = 0.1667 at best; a split blind to the visits leaves time.lot far above it.
  const factors = [
    continuous('speed', { levels: 3 }),
    continuous('bake', { levels: 3, hardToChange: true }),
    continuous('time'),
    continuous('lot'),
  ]
  for (let seed = 1; seed <= 5; seed++) {
    const answer = makePlan({ factors, design: fullDesign({ blocks: 2, seed }), bench })
    if (!answer.ok) throw new Error(JSON.stringify(answer.problems))
    const effects = answer.value.evaluation.smallestDetectable
    const effectOf = (term: string) => effects.find((one) => one.term === term)?.effect as number
    const best = (detectableShift(0.8, 20) as number) / 6
    for (const term of ['time', 'lot', 'time.lot']) expect(effectOf(term) / best).toBeLessThan(1.12)
  }
})
