import { describe, expect, test } from 'vitest'
import { fitModel } from '../../../shared/model/fit.ts'
import { type SuggestFactor, suggestModels } from '../../../shared/model/suggest.ts'
import { someRuns } from './some-runs.ts'

const speed: SuggestFactor = { name: 'speed', role: 'speed', kind: 'continuous', distinct: 3 }
const bake: SuggestFactor = { name: 'bake', role: 'bake temperature', kind: 'continuous', distinct: 3 }
const time: SuggestFactor = { name: 'spin time', role: 'time', kind: 'continuous', distinct: 2 }

const models = (factors: SuggestFactor[], groups: string[] = [], runs = 30, response = 'thickness') =>
  suggestModels({ factors, response, onLogScale: response === 'thickness', groups, runs }).map(
    ({ model }) => model,
  )

describe('suggested models', () => {
  test('where only the speed was varied: the spin curve, then with bend', () => {
    expect(models([speed])).toEqual([
      'log(thickness) ~ log(speed)',
      'log(thickness) ~ log(speed) + log(speed)^2',
    ])
    expect(models([{ ...speed, distinct: 2 }])).toEqual(['log(thickness) ~ log(speed)'])
  })

  test('where several were varied: straight, twisted, quadratic, squares only with three levels', () => {
    expect(models([speed, time, bake])).toEqual([
      'log(thickness) ~ log(speed) + "spin time" + bake',
      'log(thickness) ~ (log(speed) + "spin time" + bake)^2',
      'log(thickness) ~ (log(speed) + "spin time" + bake)^2 + log(speed)^2 + bake^2',
    ])
  })

  test('with lots: a shift, straight or curved, and a curve each', () => {
    expect(models([speed], ['lot']).slice(2)).toEqual([
      'log(thickness) ~ log(speed) + lot',
      'log(thickness) ~ log(speed) + log(speed)^2 + lot',
      'log(thickness) ~ log(speed) * lot',
    ])
  })

  test('a response that may be negative is not put on the log scale', () => {
    expect(models([speed], [], 30, 'bowl')[0]).toBe('bowl ~ log(speed)')
  })

  test('only models with a run to spare are offered', () => {
    expect(models([speed, time, bake], [], 8)).toHaveLength(2)
    expect(models([speed, time, bake], [], 4)).toEqual([])
  })

  test('what was not varied is no factor', () => {
    expect(models([{ ...speed, distinct: 1 }])).toEqual(['log(thickness) ~ 1'])
  })

  test('each says when to choose it, counts its terms, and can be fitted', () => {
    const lot: SuggestFactor = { name: 'lot', role: 'lot', kind: 'categorical', distinct: 3 }
    const offers = suggestModels({
      factors: [speed, bake, lot],
      response: 'thickness',
      onLogScale: true,
      groups: ['lot'],
      runs: 14,
    })
    expect(offers).toHaveLength(6)
    for (const { model, words, terms } of offers) {
      const answer = fitModel({ table: someRuns, model })
      const fit = answer.ok ? answer.value.report() : undefined
      expect((fit?.terms.length ?? 0) + (fit?.notEstimable.length ?? 0), model).toBe(terms)
      expect(words).toMatch(/choose it .*\.$/)
    }
  })
})
