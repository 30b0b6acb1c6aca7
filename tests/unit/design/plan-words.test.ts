import { describe, expect, test } from 'vitest'
import type { DesignEvaluation } from '../../../shared/contract/results/plan.ts'
import { reachInWords, unseenInWords } from '../../../shared/design/plan-words.ts'

const effect = (term: string, size: number | null) => ({
  term,
  effect: size,
  df: 5,
  power: 0.8,
  stratum: 'run' as const,
})
const evaluation = (effects: (number | null)[]) =>
  ({
    smallestDetectable: [effect('constant', 0.1), ...effects.map((size, i) => effect(`x${i + 1}`, size))],
    averagePredictionVariance: 0.25,
    maximumPredictionVariance: 1,
  }) as DesignEvaluation

describe('what a plan can tell, in sentences', () => {
  test('names the surest and the least sure term, and what no run can show', () => {
    const [sees, blind, predicts] = reachInWords(evaluation([0.7, 1.9, null]), null)
    expect(sees).toBe(
      'With a chance of 80 % the plan sees x1 where it moves the film by 0.70 σ or more from the middle of its range ' +
        'to the end; least sure is x2, from 1.9 σ on.',
    )
    expect(blind).toBe('The plan cannot see x3, however large the effect.')
    // Standard errors are the roots of the variances 0.25 and 1.
    expect(predicts).toContain('0.50 σ on average, at worst 1.0 σ')
  })

  test('says that more visits to the plate help where these are what a term lacks', () => {
    const bake = { ...effect('bake^2', null), stratum: 'plateVisit' as const }
    const plan = { ...evaluation([0.7]), smallestDetectable: [effect('speed', 0.7), bake] }
    expect(unseenInWords(plan)).toMatch(/^The plan cannot see bake², .* More visits help/)
    expect(unseenInWords(evaluation([0.7]))).toBe('')
  })

  test('says sizes in percent too where the scatter of one run is known', () => {
    expect(reachInWords(evaluation([0.7]), 0.01)[0]).toContain('0.70 σ (0.70 %)')
  })
})
