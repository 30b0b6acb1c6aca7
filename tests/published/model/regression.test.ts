import { describe, expect, test } from 'vitest'
import { tQuantile } from '../../../shared/model/distributions.ts'
import { whereReached } from '../../../shared/model/inverse-prediction.ts'
import { combination } from '../../../shared/model/least-squares.ts'
import { rowAt } from '../../../shared/model/predict.ts'
import { closeTo } from './close-to.ts'
import { dataTable } from './data-table.ts'
import { fitOf, fittedModel } from './fitted.ts'

// Published data; the expected values were computed independently in R 4.2.2.

describe('stopping distances of cars (Ezekiel, Methods of Correlation Analysis, 1930)', () => {
  const fit = fitOf({ table: dataTable('cars.csv'), model: 'dist ~ speed' })

  test('estimates and errors', () => {
    closeTo(fit.terms[0]?.estimate, -17.57909489051)
    closeTo(fit.terms[1]?.estimate, 3.93240875912, 2e-12)
    closeTo(fit.terms[0]?.standardError, 6.758440169379)
    closeTo(fit.terms[1]?.standardError, 0.415512776657)
    closeTo(fit.residualStandardDeviation, 15.3795867488, 2e-12)
    closeTo(fit.press, 12320.2707976, 4e-12)
  })

  test('lack of fit', () => {
    expect(fit.lackOfFit).toMatchObject({ df: 17, pureErrorDf: 31 })
    closeTo(fit.lackOfFit?.f, 1.23694991826)
    closeTo(fit.lackOfFit?.p, 0.294837396797)
  })

  test('predictions', () => {
    // predict(lm(dist ~ speed, cars), data.frame(speed = 21), interval = …, level = 0.9)
    const [at] = fittedModel({ table: dataTable('cars.csv'), model: 'dist ~ speed' }).predict(
      [{ speed: 21 }],
      {
        level: 0.9,
      },
    )
    closeTo(at?.estimate, 65.0014890510949)
    closeTo(at?.standardErrorOfMean, 3.18511616399429)
    closeTo(at?.confidence[0], 59.6593351533769)
    closeTo(at?.confidence[1], 70.3436429488129)
    closeTo(at?.prediction[0], 38.659101000141)
    closeTo(at?.prediction[1], 91.3438771020488)
    expect(at?.scope).toBe('sameSession')
  })
})

describe('where a line reaches a level (Fieller; Draper & Smith, Applied Regression Analysis)', () => {
  const reach = (file: string, model: string, level: number, readings?: number) => {
    const { fitted, df, residualStandardDeviation } = fittedModel({ table: dataTable(file), model })
    const [name = '', values = []] = fitted.frame.columns.map((c) => [c.name, c.values] as const)[0] ?? []
    const tested = [Math.min(...(values as number[])), Math.max(...(values as number[]))] as const
    return whereReached(
      (x) => {
        const row = rowAt(fitted, { [name]: x })
        if (!row.ok) return null
        const { estimate, variance } = combination(fitted.solution, row.value)
        // In σ²; the mean of new readings scatters besides.
        return { estimate, variance: variance + (readings === undefined ? 0 : 1 / readings) }
      },
      {
        level,
        tested,
        positive: false,
        reach: tQuantile(0.975, df) * (residualStandardDeviation ?? 0),
      },
    )
  }

  test.each([
    ['cars.csv', 'dist ~ speed', 50, 1, 17.1851653859, 9.13250924948, 25.4065873495],
    ['cars.csv', 'dist ~ speed', 50, undefined, 17.1851653859, 16.0641738875, 18.4749227115],
    ['strd_norris.csv', 'y ~ x', 500, 1, 499.205595673, 497.385244095, 501.026068846],
    ['strd_norris.csv', 'y ~ x', 500, 3, 499.205595673, 498.125147494, 500.286165446],
    ['strd_norris.csv', 'y ~ x', 500, undefined, 499.205595673, 498.898575271, 499.512737669],
    ['nist_calibrationline.csv', 'y ~ x', 5, 1, 4.82680412385, 4.69739685026, 4.95604854006],
    ['nist_calibrationline.csv', 'y ~ x', 5, undefined, 4.82680412385, 4.80353127852, 4.84991411179],
  ])('%s, %s = %f, mean of %s readings', (file, model, level, readings, value, lower, upper) => {
    const found = reach(file, model, level, readings)
    closeTo(found?.value, value, 1e-11)
    closeTo(found?.lower, lower, 1e-11)
    closeTo(found?.upper, upper, 1e-11)
  })

  test('an interval without bounds is said to have none', () => {
    // A slope that is not significant (g > 1) leaves every setting possible.
    const found = reach('stackloss.csv', '"stack.loss" ~ "Acid.Conc."', 18)
    expect(found).toMatchObject({ lower: null, upper: null })
  })
})

describe('stack loss (Brownlee, Statistical Theory and Methodology, 1960)', () => {
  const fit = fitOf({
    table: dataTable('stackloss.csv'),
    model: '"stack.loss" ~ "Air.Flow" + "Water.Temp" + "Acid.Conc."',
  })

  test('estimates, errors and criteria', () => {
    const expected = [
      [-39.919674420124, 11.895996850644],
      [0.715640200485, 0.134858185355],
      [1.295286124389, 0.368024265273],
      [-0.152122519149, 0.156294043249],
    ]
    fit.terms.forEach((term, i) => {
      closeTo(term.estimate, expected[i]?.[0] as number, 4e-12)
      closeTo(term.standardError, expected[i]?.[1] as number, 4e-12)
    })
    closeTo(fit.residualStandardDeviation, 3.24336391819, 2e-12)
    closeTo(fit.rSquared, 0.913576904461)
    closeTo(fit.press, 291.86893173, 2e-12)
    // AIC 114.575591005 counts σ: −2 log L + 2·5; AICc adds 2·5·6/(21 − 6).
    closeTo(fit.logLikelihood, (114.575591005 - 10) / -2, 1e-11)
    closeTo(fit.aicc, 114.575591005 + 4, 1e-11)
  })

  test('variance inflation', () => {
    const factors = fit.terms.map(({ varianceInflation }) => varianceInflation)
    expect(factors[0]).toBeNull()
    closeTo(factors[1], 2.90648362743, 2e-12)
    closeTo(factors[2], 2.57263238032, 2e-12)
    closeTo(factors[3], 1.3335874621, 2e-12)
  })

  test('run 21 stands out, run 17 has the largest leverage', () => {
    const run = fit.runs[20]
    closeTo(run?.leverage, 0.284533, 2e-6)
    closeTo(run?.cooksDistance, 0.692, 1e-6)
    closeTo(run?.studentized, -3.330493, 2e-7)
    expect(run?.row).toBe(22)
    closeTo(Math.max(...fit.runs.map(({ leverage }) => leverage)), 0.412123, 2e-6)
    expect(fit.runs.findIndex(({ leverage }) => leverage > 0.41)).toBe(16)
  })
})

describe('thickness against speed, twelve points of a positive resist', () => {
  // Data: University of Pennsylvania, repository.upenn.edu, series scn_tooldata, article 1000.
  const table = dataTable('upenn_resist_spin_curve.csv')
  const fit = fitOf({ table, model: 'log(thickness_um) ~ log(rpm)' })

  test('the power law', () => {
    const [constant, slope] = fit.terms
    closeTo(constant?.estimate, 3.2112736486, 1e-10)
    closeTo(slope?.estimate, -0.4792535716842991)
    closeTo(slope?.standardError, 0.008088348742, 1e-9)
    closeTo(slope?.lower, -0.497275535765, 1e-11)
    closeTo(slope?.upper, -0.461231607603, 1e-11)
    closeTo(fit.residualStandardDeviation, 0.020276085187, 1e-10)
    closeTo(fit.rSquared, 0.997159768313, 1e-11)
  })

  test('is significantly curved, and the fit says so: F(1, 9) = 14.8171', () => {
    const problem = fit.problems.find(({ code }) => code === 'curvature')
    expect(problem?.message).toContain('F(1, 9) = 14.82')
    const curved = fitOf({ table, model: 'log(thickness_um) ~ log(rpm) + log(rpm)^2' })
    const expected = [4.73277994, -0.88753482, 0.02708077]
    curved.terms.forEach((term, i) => {
      closeTo(term.estimate, expected[i] as number, 2e-7)
    })
    closeTo(curved.marginalTests[1]?.f, 14.8171, 1e-6)
    expect(curved.problems.map(({ code }) => code)).not.toContain('curvature')
  })
})
