import { expect, test } from 'vitest'
import { exponentAt } from '../../../shared/drift/exponent.ts'
import { type FittedModel, fitModel } from '../../../shared/model/fit.ts'
import { predictorOf } from '../../../shared/next/predictor.ts'

const speed = [1500, 1500, 2000, 2500, 3000, 3000, 3500, 4000, 4500]
const time = [30, 50, 40, 30, 40, 60, 30, 50, 40]
const noise = [0.002, -0.003, 0.001, 0.004, -0.002, 0.003, -0.004, 0.002, -0.001]
const thickness = speed.map((rpm, i) => 1560 * (rpm / 3000) ** -0.53 * Math.exp(noise[i]!))
const table = {
  columns: [
    { name: 'speed', values: speed },
    { name: 'time', values: time },
    { name: 'thickness', values: thickness },
  ],
  rows: speed.length,
}
const fitted = (model: string): FittedModel => {
  const answer = fitModel({ table, model })
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  return answer.value
}
const at = (model: string, settings: Record<string, number>) => {
  const predictor = predictorOf(fitted(model))
  if (!predictor.ok) throw new Error('no predictor')
  return exponentAt(predictor.value, settings, 'speed')
}

test('in a model of the logarithms it is the slope with its standard error, also by decades', () => {
  for (const log of ['log', 'log10']) {
    const model = `${log}(thickness) ~ ${log}(speed)`
    const term = fitted(model).report().terms[1]!
    const found = at(model, { speed: 3280 })!
    expect(found.value).toBeCloseTo(-term.estimate!, 8)
    expect(found.standardError).toBeCloseTo(term.standardError!, 8)
    expect(found.df).toBe(7)
  }
})

test('in a curved model it is the slope at the setting: −(b1 + 2·b2·ln N)', () => {
  const model = 'log(thickness) ~ log(speed) + log(speed)^2'
  const [, b1, b2] = fitted(model)
    .report()
    .terms.map(({ estimate }) => estimate!)
  expect(at(model, { speed: 2200 })!.value).toBeCloseTo(-(b1! + 2 * b2! * Math.log(2200)), 6)
})

test('without the speed there is none', () => {
  expect(at('log(thickness) ~ time', { speed: 3000, time: 40 })).toBeNull()
})
