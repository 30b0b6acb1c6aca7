import { expect, test } from 'vitest'
import { checkFactors } from '../../../shared/design/check-factors.ts'
import { bake, categorical, continuous, speed, time } from './examples.ts'

const wrong: [string, Parameters<typeof checkFactors>[0], string, string | undefined][] = [
  ['no factor at all', [], 'noFactors', undefined],
  ['a low end at the high end', [continuous('time', { low: 60, high: 60 })], 'emptyRange', 'time'],
  ['a low end above the high end', [continuous('time', { low: 61, high: 60 })], 'emptyRange', 'time'],
  ['a missing end', [continuous('time', { low: null })], 'noRange', 'time'],
  ['a log scale from 0', [continuous('speed', { low: 0, high: 10, scale: 'log' })], 'logOfNothing', 'speed'],
  [
    'a log scale below 0',
    [continuous('speed', { low: -5, high: 10, scale: 'log' })],
    'logOfNothing',
    'speed',
  ],
  [
    'a step larger than the range',
    [continuous('bake', { low: 90, high: 110, step: 25 })],
    'stepTooLarge',
    'bake',
  ],
  [
    'levels that the step makes equal',
    [continuous('bake', { low: 90, high: 110, step: 10, levels: 5 })],
    'levelsCoincide',
    'bake',
  ],
  ['the same name twice', [time, speed, time], 'duplicateFactor', 'time'],
  ['one level', [continuous('time', { levels: 1 })], 'oneLevel', 'time'],
  ['one level by name', [categorical('lot', ['A'])], 'oneLevel', 'lot'],
  ['the same level twice', [categorical('lot', ['A', 'B', 'A'])], 'duplicateLevel', 'lot'],
]

test.each(wrong)('%s is a problem that names its factor', (_, factors, code, column) => {
  const problems = checkFactors(factors)
  expect(problems.map((problem) => problem.code)).toEqual([code])
  expect(problems[0]?.column).toBe(column)
})

test('every wrong factor is named, not only the first', () => {
  const problems = checkFactors([continuous('a', { low: 1, high: 0 }), continuous('b', { levels: 1 }), speed])
  expect(problems.map((problem) => problem.column)).toEqual(['a', 'b'])
})

test('good factors give no problem', () => {
  expect(checkFactors([speed, time, bake, categorical('lot', ['A', 'B'])])).toEqual([])
})
