import { describe, expect, test } from 'vitest'
import type { DesignSettings } from '../../../shared/contract/things.ts'
import { precisionOf } from '../../../shared/design/choose-visits.ts'
import { usualTerms } from '../../../shared/design/design-terms.ts'
import { makePlan } from '../../../shared/design/make-plan.ts'
import { bench, continuous, fullDesign } from '../../unit/design/examples.ts'

const factors = [
  continuous('w', { levels: 3, step: 1, hardToChange: true }),
  continuous('s', { levels: 3, step: 1 }),
]
const terms = usualTerms(factors, () => true)

function planOf(change: Partial<DesignSettings>) {
  const design = fullDesign({ kind: 'optimal', runs: 12, ...change })
  const answer = makePlan({ factors, design, bench })
  if (!answer.ok) throw new Error(JSON.stringify(answer.problems))
  return answer.value
}

// |X′V⁻¹X|^(1/6)/12 of the best of all designs on the 3 × 3 grid: exhaustive search in R 4.2.2
// (visit-numbers.R). Two visits in a row at one setting count as they were made: two.
test.each([
  [1, 3, 0.2029065885],
  [1, 4, 0.2258228851],
  [1, 6, 0.2496992045],
  [0.2, 3, 0.3381776474],
  [0.2, 4, 0.3570573323],
  [0.2, 6, 0.3752247481],
])('visit variance %f, %i visits: the precision is the best there is', (varianceRatio, visits, best) => {
  const plan = planOf({ visits, varianceRatio })
  expect(precisionOf(plan, terms, { varianceRatio }) / best).toBeCloseTo(1, 6)
})

describe('where the number of visits is left open', () => {
  const open = planOf({})
  const choices = open.visitChoices ?? []
  const chosen = choices.find((choice) => choice.chosen)

  test('it starts with the fewest that tell the model: the constant, w and w²', () => {
    expect(choices.map((choice) => choice.visits)).toEqual([3, 4, 5, 6, 7, 8, 9])
    for (const { visits, precision } of choices)
      expect(precision).toBeCloseTo(precisionOf(planOf({ visits }), terms, {}), 10)
  })

  test('the fewest are chosen that are precise enough and leave an error to judge by', () => {
    const enough = choices.filter((choice) => choice.relativeEfficiency >= 0.9 && choice.plateVisitDf >= 2)
    expect(chosen?.visits).toBe(enough[0]?.visits)
    expect(choices.filter((choice) => choice.chosen)).toHaveLength(1)
    expect(Math.max(...choices.map((choice) => choice.relativeEfficiency))).toBe(1)
  })

  test('the plan is that of the number stated', () => {
    const { visitChoices: _, ...plan } = open
    expect(plan).toEqual(planOf({ visits: chosen?.visits }))
  })

  test('a stated number compares nothing; each further block asks for one visit more', () => {
    expect(planOf({ visits: 4 }).visitChoices).toBeUndefined()
    expect(planOf({ blocks: 2 }).visitChoices?.map((choice) => choice.visits)[0]).toBe(4)
  })
})
