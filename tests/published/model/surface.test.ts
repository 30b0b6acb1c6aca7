import { describe, expect, test } from 'vitest'
import { type FittedSurface, fitSurface, type SurfaceOptions } from '../../../shared/model/surface.ts'
import { closeTo } from './close-to.ts'
import { dataTable } from './data-table.ts'

function surface(options: SurfaceOptions): FittedSurface {
  const answer = fitSurface(options)
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.message).join('\n'))
  return answer.value
}

// Four points, squared exponential of length 1 and variance 1, noise 0.01. The values were computed independently with
// numpy; those without a trend agree with scikit-learn to all digits, those with a constant are ordinary kriging.
describe('a surface with known parameters', () => {
  const table = {
    rows: 4,
    columns: [
      { name: 'x', values: [0, 1, 2.5, 4] },
      { name: 'y', values: [1, 2, 0.5, 1.5] },
    ],
  }
  const known = { lengths: { x: 1 }, variance: 1 }
  const at = [0.5, 1.75, 3, 5].map((x) => ({ x }))
  const fit = (trend: 'none' | 'constant') =>
    surface({ table, model: 'y ~ x', kernel: 'squaredExponential', trend, noise: 0.01, known }).report(at)

  test('mean 0', () => {
    const { predictions, logLikelihood } = fit('none')
    closeTo(logLikelihood, -6.706605512627309, 1e-15)
    const expected = [
      [1.6870093401363366, 0.031012192216959056],
      [1.297736089447809, 0.0981881514080053],
      [0.6339233413734022, 0.09438887856105171],
      [1.0138507018524658, 0.6071570481806237],
    ] as const
    expected.forEach(([mean, variance], i) => {
      closeTo(predictions[i]?.estimate, mean, 2e-15)
      closeTo((predictions[i]?.standardErrorOfMean ?? 0) ** 2, variance, 1e-13)
    })
  })

  test('constant mean, with its uncertainty', () => {
    const { predictions, terms } = fit('constant')
    closeTo(terms[0]?.estimate, 1.1730651587085974, 2e-15)
    const expected = [
      [1.629054367620462, 0.03199405189731945],
      [1.382955941852161, 0.10031114935039773],
      [0.562920365799953, 0.09586261939388761],
      [1.5905222971627158, 0.7043702255956862],
    ] as const
    expected.forEach(([mean, variance], i) => {
      closeTo(predictions[i]?.estimate, mean, 2e-15)
      closeTo((predictions[i]?.standardErrorOfMean ?? 0) ** 2, variance, 1e-13)
    })
  })
})

// Black cherry trees (Ryan, Joiner & Ryan, 1976; R's trees); the optima from surface.py beside this file.
describe('the likelihood at the optimum is at least that of scipy', () => {
  test.each([
    ['squaredExponential', 'none', -85.7755830240506, [15.81123315, 168.84028408]],
    ['squaredExponential', 'constant', -79.88881445924864, [20.5814847, 260.339146]],
    ['matern52', 'none', -86.18804733227577, [29.5693674, 274.429655]],
    ['matern52', 'constant', -80.1985250988813, [46.857157, 616.291545]],
  ] as const)('%s, trend %s', (kernel, trend, likelihood, lengths) => {
    const table = dataTable('trees.csv')
    const fit = surface({ table, model: 'Volume ~ Girth + Height', kernel, trend, noise: 'estimated' })
    expect(fit.report().logLikelihood).toBeGreaterThan(likelihood - 1e-9)
    closeTo(fit.report().logLikelihood, likelihood, 1e-9)
    fit.lengths.forEach(({ length }, d) => {
      closeTo(length, lengths[d] ?? Number.NaN, 1e-3)
    })
  })
})
