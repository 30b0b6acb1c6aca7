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

// Whiteside's house gas (R's MASS::whiteside) and Ezekiel's stopping distances (R's cars).
describe('gas against temperature in two seasons', () => {
  const table = dataTable('whiteside_gas.csv')
  const model = 'Gas ~ Temp * Insul'

  test('Huber', () => {
    const fit = robust({ table, model, kind: 'huber' })
    expectTerms(fit.terms, [
      [6.856911230541977, 0.1236506553204945],
      [-0.39332808697649, 0.0204505386386474],
      [-2.17882971358094, 0.1637820550102511],
      [0.135086402309369, 0.0292039515544149],
    ])
    closeTo(fit.residualStandardDeviation, 0.277663712186029, 1e-11)
    closeTo(fit.weights[54], 0.337801192134277, 1e-10)
  })

  test('bisquare', () => {
    const fit = robust({ table, model, kind: 'bisquare' })
    expectTerms(fit.terms, [
      [6.86128313749355, 0.1256319989883833],
      [-0.393720471524652, 0.0207782323749367],
      [-2.21732927195856, 0.1664064530513878],
      [0.146451731965559, 0.0296719075417058],
    ])
    closeTo(fit.residualStandardDeviation, 0.278493526279104, 1e-11)
    closeTo(fit.weights[54], 0.0394575461447785, 1e-9)
  })
})

describe('stopping distances', () => {
  const table = dataTable('cars.csv')

  test('Huber', () => {
    const fit = robust({ table, model: 'dist ~ speed', kind: 'huber' })
    expectTerms(fit.terms, [
      [-16.52634764328404, 6.330194284180982],
      [3.77331267979643, 0.389183974094525],
    ])
    closeTo(fit.residualStandardDeviation, 13.2839123699936, 1e-11)
    closeTo(fit.weights[48], 0.3886902132932, 1e-10)
  })

  test('bisquare', () => {
    const fit = robust({ table, model: 'dist ~ speed', kind: 'bisquare' })
    expectTerms(fit.terms, [
      [-15.51393262484074, 6.235946737645201],
      [3.66585153431372, 0.383389580895391],
    ])
    closeTo(fit.residualStandardDeviation, 12.5701398877509, 1e-11)
    closeTo(fit.weights[48], 0.121467224863122, 1e-10)
  })
})

describe('a plane with three runs in ten far above it', () => {
  const at = Array.from({ length: 40 }, (_, i) => i)
  const a = at.map((i) => ((7 * i) % 40) / 10)
  const b = at.map((i) => ((11 * i) % 40) / 10)
  const isBad = (i: number) => i % 10 < 3
  const y = at.map(
    (i) => 5 + 2 * a[i]! - 3 * b[i]! + (((17 * i) % 40) - 19.5) / 100 + (isBad(i) ? 50 + i : 0),
  )
  const columns = Object.entries({ a, b, y }).map(([name, values]) => ({ name, values }))
  const table = { rows: 40, columns }

  test('Huber is drawn to them', () => {
    const fit = robust({ table, model: 'y ~ a + b', kind: 'huber' })
    expectTerms(fit.terms, [
      [35.109225381195728, 14.1303083384371],
      [-0.202931405974027, 4.42500607114798],
      [-8.487243186687955, 4.42500607114798],
    ])
  })

  test('the bisquare finds the plane, and names the runs', () => {
    const fit = robust({ table, model: 'y ~ a + b', kind: 'bisquare' })
    expectTerms(fit.terms, [
      [4.9626632801098, 0.0641806853224134],
      [1.99105634753296, 0.0200986358825295],
      [-2.97213465545543, 0.0200986358825295],
    ])
    closeTo(fit.residualStandardDeviation, 0.236949891976106, 1e-11)
    expect(fit.weights.map((weight) => weight === 0)).toEqual(at.map(isBad))
    const named = fit.problems.filter(({ code }) => code === 'downWeighted').map(({ row }) => row)
    expect(named).toEqual(at.filter(isBad).map((i) => i + 2))
  })
})
