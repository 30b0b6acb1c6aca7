import { expect, test } from 'vitest'
import type { Replanned } from '../../../shared/contract/results/replan.ts'
import { replanWords } from '../../../shared/design/replan-words.ts'

const told = (averagePredictionVariance: number | null) => ({
  runs: 9,
  dEfficiency: null,
  averagePredictionVariance,
  residualDf: 3,
})
const term = (name: string, more: Partial<Replanned['terms'][number]> = {}) => ({
  term: name,
  planned: true,
  rest: true,
  proposed: true,
  why: null,
  ...more,
})
const proposal: Omit<Replanned, 'words' | 'budget'> = {
  done: 1,
  remaining: 8,
  model: 'speed + bake + bake^2',
  keptModel: 'speed',
  terms: [
    term('constant'),
    term('speed', { rest: false }),
    term('bake', { proposed: false, why: 'settings' }),
    term('bake^2', { proposed: false, why: 'settings' }),
  ],
  planned: told(0.25),
  rest: told(0.64),
  proposed: told(0.36),
  old: [
    { runId: '', code: 'W02', settings: {}, plateVisit: null, fits: 'settings' },
    { runId: '', code: 'W03', settings: {}, plateVisit: null, fits: 'yes' },
  ],
  runs: [],
}

test('what is left is said with its reasons; errors are square roots of variances', () => {
  expect(replanWords(proposal)).toEqual([
    '1 run is done and 8 more fit, of 2 still planned.',
    '1 run of those planned cannot be made with the settings left.',
    'With the proposed runs 1 of 3 effects can still be estimated.',
    'bake and bake^2 cannot: the settings left do not tell them apart.',
    'The runs as they were planned would not have told speed.',
    'For what is kept of the model, the standard error of a prediction is 75 % of what the first of the runs still ' +
      'planned would have given, and 120 % of what the whole plan would have given.',
  ])
})

test('a rest that does as well needs no change', () => {
  expect(replanWords({ ...proposal, rest: told(0.36) }).at(-1)).toMatch(/no need to change/)
  expect(replanWords({ ...proposal, rest: told(null), planned: told(null) }).join()).not.toContain('%')
})
