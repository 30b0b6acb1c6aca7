import { expect, test } from 'vitest'
import { varianceSentence } from '../../../shared/model/variance-words.ts'

const component = (group: string, standardDeviation: number) => ({
  group,
  standardDeviation,
  variance: standardDeviation ** 2,
})
const percentOf = { shown: (value: number) => 100 * value, unit: '%' }
const both = [
  component('session', 0.00651),
  component('session/plateVisit', 0.00188),
  component('residual', 0.003),
]
const told = (code: string, column: string) => ({ code, column, message: '' })

test('what days and plate visits count for stands in one sentence, with where it comes from', () => {
  expect(varianceSentence({ varianceComponents: both, problems: [] }, percentOf)).toBe(
    'The film differs between days by 0.65 %, between visits to the plate by 0.19 % (by these runs).',
  )
  const problems = [told('usualVariance', 'session/plateVisit'), told('fewStratumDf', 'session')]
  expect(varianceSentence({ varianceComponents: both, problems }, percentOf)).toBe(
    'The film differs between days by 0.65 % (by these runs), between visits to the plate by 0.19 % ' +
      '(a usual value, as these runs hardly tell it).',
  )
})

test('a fit without groups says nothing of them', () => {
  expect(varianceSentence({ varianceComponents: both.slice(2), problems: [] }, percentOf)).toBe('')
})
