import { describe, expect, test } from 'vitest'
import { fitWithExponentPrior } from '../../../shared/model/exponent-prior.ts'
import type { AnyFit } from '../../../shared/model/fit.ts'
import type { Fitted } from '../../../shared/model/fitted.ts'
import { settingForTarget, withFrame } from '../../../shared/model/target-setting.ts'
import { closeTo } from './close-to.ts'
import { dataTable } from './data-table.ts'
import { fittedModel } from './fitted.ts'

function reached(fit: AnyFit & { fitted: Fitted }, factor: string, target: number) {
  const answer = settingForTarget(withFrame(fit), { factor, target })
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.message).join('\n'))
  return answer.value
}

// E. C. Fieller (1954); Draper & Smith, Applied Regression Analysis, inverse regression. Ends computed independently in
// R 4.2.2, from the quadratic in x of (y − a − b·x)² = t²·var(a + b·x).
describe('the setting for a target', () => {
  test('stopping distances of cars (Ezekiel, 1930), mean of 50', () => {
    const fit = fittedModel({ table: dataTable('cars.csv'), model: 'dist ~ speed' })
    const { setting: value, lower, upper } = reached(fit, 'speed', 50)
    closeTo(value, 17.1851653859, 5e-12)
    closeTo(lower, 16.0641738875, 5e-12)
    closeTo(upper, 18.4749227115, 5e-12)
  })

  test('a measured spin curve (University of Pennsylvania, 12 speeds), 0.5 µm', () => {
    const table = dataTable('upenn_resist_spin_curve.csv')
    const fit = fittedModel({ table, model: 'log(thickness_um) ~ log(rpm)' })
    const { setting: value, lower, upper } = reached(fit, 'rpm', 0.5)
    closeTo(value, 3452.58649593075, 1e-11)
    closeTo(lower, 3355.08405565125, 1e-11)
    closeTo(upper, 3555.60682843545, 1e-11)
  })
})

// Three invented wafers; the posterior by its formula in R 4.2.2:
// X <- cbind(1, log(n)); V <- solve(t(X) %*% X / s2 + diag(c(0, 1 / .05^2)));
// b <- V %*% (t(X) %*% log(h) / s2 + c(0, -.5 / .05^2)), s2 from the residuals of lm.fit(X, log(h)), pooled.
describe('a spin curve of three wafers with an exponent of 0.5 ± 0.05 stated', () => {
  const table = {
    rows: 3,
    columns: [
      { name: 'speed', values: [2000, 3250, 4500] },
      { name: 'thickness', values: [1948, 1516, 1260] },
    ],
  }
  test.each([
    {
      name: 'scatter from the runs',
      scatter: undefined,
      estimates: [11.627213881468833, -0.532980957424115],
      errors: [0.1100396936776613, 0.0136856521370739],
      at3000: [1571.7932276646, 1479.63643200971, 1669.68986237837, 1393.25558194877, 1773.20944020675],
      sd: 0.00821195725497731,
      speed: [3275.04079149663, 2921.1289743457, 3725.61944130877],
    },
    {
      name: 'scatter of 0.5 % on 10 degrees of freedom stated',
      scatter: { sd: 0.005, df: 10 },
      estimates: [11.639077292431466, -0.534457782941445],
      errors: [0.0735748461885133, 0.0091508779865201],
      at3000: [1571.85516231246, 1561.1287032049, 1582.65532253432, 1550.52454055168, 1593.47923020248],
      sd: 0.00537194938341393,
      speed: [3274.48847247529, 3232.51963171079, 3317.57653078897],
    },
  ])('$name', ({ scatter, estimates, errors, at3000, sd, speed }) => {
    const answer = fitWithExponentPrior({
      table,
      model: 'log(thickness) ~ log(speed)',
      prior: { mean: 0.5, sd: 0.05 },
      ...(scatter ? { scatter } : {}),
    })
    if (!answer.ok) throw new Error('The curve was not fitted.')
    const report = answer.value.report([{ speed: 3000 }])
    report.terms.forEach(({ estimate, standardError }, k) => {
      closeTo(estimate, estimates[k] ?? Number.NaN, 1e-11)
      closeTo(standardError, errors[k] ?? Number.NaN, 1e-10)
    })
    closeTo(report.residualStandardDeviation, sd, 1e-11)
    closeTo(answer.value.exponent.mean, -(estimates[1] ?? Number.NaN), 1e-11)
    const [prediction] = report.predictions
    const found = [prediction?.estimate, ...(prediction?.confidence ?? []), ...(prediction?.prediction ?? [])]
    at3000.forEach((value, i) => {
      closeTo(found[i], value, 1e-11)
    })
    expect(prediction?.varianceSource).toBe(scatter ? 'stated' : 'estimated')
    const { setting: value, lower, upper } = reached(answer.value, 'speed', 1500)
    closeTo(value, speed[0] ?? Number.NaN, 1e-10)
    closeTo(lower, speed[1] ?? Number.NaN, 1e-9)
    closeTo(upper, speed[2] ?? Number.NaN, 1e-9)
  })
})
