import { describe, expect, test } from 'vitest'
import { fitRobust, type RobustOptions } from '../../../shared/model/robust.ts'
import { closeTo } from './close-to.ts'
import { dataTable } from './data-table.ts'

// Expected values from robust.R beside this file (R 4.2.2, MASS of Venables & Ripley).

function robust(options: RobustOptions) {
  const answer = fitRobust(options)
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.message).join('\n'))
  return { ...answer.value.report(), weights: answer.value.weights.map(({ weight }) => weight) }
}

function expectTerms(
  terms: { estimate: number; standardError: number | null }[],
  expected: [number, number][],
) {
  expect(terms).toHaveLength(expected.length)
  terms.forEach(({ estimate, standardError }, i) => {
    closeTo(estimate, expected[i]?.[0] ?? Number.NaN, 1e-11)
    closeTo(standardError, expected[i]?.[1] ?? Number.NaN, 1e-11)
  })
}

describe('ammonia plant (Brownlee, Statistical Theory and Methodology, 1960)', () => {
  const table = dataTable('stackloss.csv')
  const model = '"stack.loss" ~ "Air.Flow" + "Water.Temp" + "Acid.Conc."'

  test('Huber', () => {
    const fit = robust({ table, model, kind: 'huber' })
    expectTerms(fit.terms, [
      [-41.026485373295, 9.80687229435309],
      [0.829385770253855, 0.111174962319926],
      [0.926059415548606, 0.303393403349553],
      [-0.127846317965416, 0.128846345686811],
    ])
    closeTo(fit.residualStandardDeviation, 2.44048904599281)
    closeTo(fit.weights[2], 0.785796612529842, 1e-11)
    closeTo(fit.weights[3], 0.5048559248976, 1e-11)
    closeTo(fit.weights[20], 0.368083781777656, 1e-11)
    expect(fit.weights.filter((weight) => weight < 1)).toHaveLength(3)
    expect(fit.problems.filter(({ code }) => code === 'downWeighted').map(({ row }) => row)).toEqual([5, 22])
  })

  test('bisquare', () => {
    const fit = robust({ table, model, kind: 'bisquare' })
    expectTerms(fit.terms, [
      [-41.523324251577229, 9.30717066626214],
      [0.938854051761164, 0.105510127701227],
      [0.579455575369334, 0.287934226044561],
      [-0.112921155859604, 0.122281079332691],
    ])
    closeTo(fit.residualStandardDeviation, 1.91190717364026)
    closeTo(fit.weights[3], 0.121244062401353, 1e-10)
    closeTo(fit.weights[2], 0.67464550047997, 1e-10)
    expect(fit.weights[20]).toBe(0)
    expect(fit.problems.filter(({ code }) => code === 'downWeighted').map(({ row }) => row)).toEqual([
      4, 5, 22,
    ])
  })
})

// Numbers of telephone calls in Belgium, of which six years were counted in minutes (Rousseeuw & Leroy, Robust
// Regression and Outlier Detection, 1987, table 2.1; R's MASS::phones).
describe('telephone calls', () => {
  const calls = [
    4.4, 4.7, 4.7, 5.9, 6.6, 7.3, 8.1, 8.8, 10.6, 12, 13.5, 14.9, 16.1, 21.2, 119, 124, 142, 159, 182, 212,
    43, 24, 27, 29,
  ]
  const table = {
    rows: calls.length,
    columns: [
      { name: 'year', values: calls.map((_, i) => 50 + i) },
      { name: 'calls', values: calls },
    ],
  }

  test('Huber gives way to a quarter of bad runs', () => {
    const fit = robust({ table, model: 'calls ~ year', kind: 'huber' })
    expectTerms(fit.terms, [
      [-102.52963811809346, 26.546160807801218],
      [2.03960046572059, 0.428936382421174],
    ])
    closeTo(fit.residualStandardDeviation, 9.00902830582914, 1e-11)
  })

  test('the bisquare does not', () => {
    const fit = robust({ table, model: 'calls ~ year', kind: 'bisquare' })
    expectTerms(fit.terms, [
      [-52.42341067142857, 2.9159189178474696],
      [1.10095490630351, 0.0471158040935019],
    ])
    closeTo(fit.residualStandardDeviation, 2.12844882390598, 1e-11)
    expect(fit.weights.slice(14, 20)).toEqual([0, 0, 0, 0, 0, 0])
  })
})
