import { describe, expect, test } from 'vitest'
import { type FittedMixed, fitMixed, type MixedOptions } from '../../../shared/model/mixed.ts'
import { closeTo } from './close-to.ts'
import { dataTable } from './data-table.ts'

function mixed(options: MixedOptions): FittedMixed {
  const answer = fitMixed(options)
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.message).join('\n'))
  return answer.value
}

// Littell, Milliken, Stroup & Wolfinger (1996), their textbook on mixed models, data set 4.4; the standard deviations
// in Pinheiro & Bates (2000), their textbook on mixed-effects models, p. 168. Balanced, so that the mean squares give
// the exact values.
describe('oxide thickness: lots, wafers, sites', () => {
  const fit = mixed({ table: dataTable('oxide_thickness.csv'), model: 'thickness ~ 1', random: 'lot/wafer' })
  const report = fit.report([{}])

  test('variances', () => {
    expect(report.varianceComponents.map(({ group }) => group)).toEqual(['lot', 'lot/wafer', 'residual'])
    const [lot, wafer, site] = report.varianceComponents
    closeTo(lot?.variance, 129.907186948854)
    closeTo(wafer?.variance, 35.8657407407407)
    closeTo(site?.variance, 12.5694444444444, 5e-12)
    closeTo(lot?.standardDeviation, 11.3976834027, 5e-12)
    closeTo(wafer?.standardDeviation, 5.98880127745, 5e-12)
    closeTo(site?.standardDeviation, 3.54534123103, 5e-12)
    closeTo(report.residualStandardDeviation, 3.54534123103, 5e-12)
  })

  test('mean with its error between lots', () => {
    const [mean] = report.terms
    closeTo(mean?.estimate, 2000.15277777778, 5e-15)
    closeTo(mean?.standardError, Math.sqrt(1289.33134920635 / 72), 5e-12)
    // nlme 3.1-162, to the digits at which it stops.
    closeTo(mean?.standardError, 4.23171129, 2e-8)
    closeTo(mean?.df, 7, 1e-10)
    closeTo(report.logLikelihood, -227.011034655, 5e-12)
    expect(report.dfMethod).toBe('satterthwaite')
    expect(report.aicc).toBeNull()
  })

  test('strata and prediction', () => {
    expect(fit.strata.map(({ df }) => df)).toEqual([7, 16, 48])
    const [prediction] = report.predictions
    // qt(0.975, 7) of R.
    closeTo(
      prediction?.confidence[0],
      2000.15277777778 - 2.36462425159278 * Math.sqrt(1289.33134920635 / 72),
      1e-12,
    )
    expect(prediction?.scope).toBe('sameSession')
  })
})

// Yates, J. Roy. Statist. Soc. Suppl. 2 (1935) 181–247; carried by R's nlme as Oats.
describe('oats: blocks, whole plots, split plots', () => {
  const raw = dataTable('oats_split_plot.csv', { names: ['nitro'] })
  // Golden rain and no nitrogen as references: rows in that order.
  const order = Array.from({ length: raw.rows }, (_, row) => row).sort(
    (a, b) =>
      String(raw.columns[1]?.values[a]).localeCompare(String(raw.columns[1]?.values[b])) ||
      String(raw.columns[2]?.values[a]).localeCompare(String(raw.columns[2]?.values[b])),
  )
  const table = {
    rows: raw.rows,
    columns: raw.columns.map((column) => ({
      ...column,
      values: order.map((row) => column.values[row] ?? null),
    })),
  }
  const fit = mixed({ table, model: 'yield ~ variety*nitro', random: 'block/variety' })
  const report = fit.report()
  const term = (name: string) => report.terms.find((one) => one.term === name)

  test('variances', () => {
    const [block, plot, rest] = report.varianceComponents
    closeTo(block?.variance, 214.477083333333, 5e-12)
    closeTo(plot?.variance, 106.061805555556, 5e-12)
    closeTo(rest?.variance, 177.083333333333, 5e-12)
    closeTo(report.logLikelihood, -264.514253503446, 5e-12)
  })

  test('estimates and errors', () => {
    closeTo(term('constant')?.estimate, 80)
    // Errors by nlme, to the digits at which it stops, and one from the variances above.
    closeTo(term('constant')?.standardError, 9.10697757, 1e-7)
    closeTo(term('nitro[0.2]')?.estimate, 18.5)
    closeTo(term('nitro[0.4]')?.estimate, 34.6666666667, 2e-12)
    closeTo(term('nitro[0.6]')?.estimate, 44.8333333333, 2e-12)
    closeTo(term('nitro[0.2]')?.standardError, 7.68295383, 1e-7)
    closeTo(term('variety[Marvellous]')?.estimate, 6.66666666667, 2e-12)
    closeTo(term('variety[Victory]')?.estimate, -8.5)
    closeTo(term('variety[Victory]')?.standardError, 9.71502465, 1e-7)
    closeTo(
      term('variety[Victory]')?.standardError,
      Math.sqrt((106.061805555556 + 177.083333333333) / 3),
      5e-12,
    )
    closeTo(term('variety[Victory].nitro[0.2]')?.standardError, 10.8653375, 1e-7)
  })

  test('each term against the error of its stratum', () => {
    expect(fit.strata.map(({ df }) => df)).toEqual([5, 10, 45])
    const [variety, nitro, both] = fit.tests.sequential()
    closeTo(variety?.f, 893.180555555556 / 601.330555555556)
    closeTo(variety?.denominatorDf, 10)
    closeTo(variety?.p, 0.27239, 2e-5)
    closeTo(nitro?.f, 6673.5 / 177.083333333333)
    closeTo(nitro?.denominatorDf, 45)
    closeTo(nitro?.p, 2.4577e-12, 1e-5)
    closeTo(both?.f, 53.625 / 177.083333333333)
    closeTo(both?.p, 0.9322, 2e-5)
    closeTo(report.analysisOfVariance[0]?.f, 1.48534069, 1e-6)
  })

  test('nitrogen as a number, no variety', () => {
    const line = mixed({
      table: dataTable('oats_split_plot.csv'),
      model: 'yield ~ nitro',
      random: 'block/variety',
    }).report()
    closeTo(line.terms[0]?.estimate, 81.8722222222, 1e-11)
    closeTo(line.terms[0]?.standardError, 6.94528081, 1e-6)
    closeTo(line.terms[1]?.estimate, 73.6666666667, 1e-11)
    closeTo(line.terms[1]?.standardError, 6.7814816, 1e-6)
    // nlme stops at 210.423518, 121.103102 and 165.558574; these are the mean squares' own:
    const plots = (10 * 601.330555555556 + 2 * 893.180555555556) / 12
    closeTo(line.varianceComponents[0]?.variance, (3175.05555555556 - plots) / 12, 1e-11)
    closeTo(line.varianceComponents[1]?.variance, (plots - 165.558490566038) / 4, 1e-11)
    closeTo(line.varianceComponents[2]?.variance, 165.558574, 1e-6)
    closeTo(line.logLikelihood, -296.520876658, 1e-11)
  })
})

describe('nested analyses of the Handbook of Statistical Methods', () => {
  test('furnace: run, zone, wafer (section 3.5.1)', () => {
    const fit = mixed({ table: dataTable('nist_furnace.csv'), model: 'thickness_A ~ 1', random: 'run/zone' })
    const [run, zone, within] = fit.report().varianceComponents
    closeTo(run?.variance, 312.556944444, 5e-12)
    closeTo(zone?.variance, 225.382936508, 5e-12)
    closeTo(within?.variance, 120.892857143, 5e-12)
    const [mean] = fit.report([{}]).predictions
    // With 21 runs, not 168 readings.
    closeTo(mean?.df, 20, 1e-10)
    closeTo(mean?.confidence[0], 554.12, 1e-5)
    closeTo(mean?.confidence[1], 571.96, 2e-5)
  })

  test('lithography: cassette, wafer, site (section 6.6.1)', () => {
    const components = (model: string) =>
      mixed({ table: dataTable('nist_lithography.csv'), model, random: 'cassette/wafer' })
        .report()
        .varianceComponents.map(({ variance }) => variance)
    const raw = components('linewidth ~ 1')
    closeTo(raw[0], 0.264523758005, 5e-12)
    closeTo(raw[1], 0.0499703870362, 5e-12)
    closeTo(raw[2], 0.175496236422, 5e-12)
    const cleaned = components('linewidth_clean ~ 1')
    closeTo(cleaned[0], 0.18601156851, 5e-11)
    closeTo(cleaned[1], 0.0496850800185, 5e-11)
    closeTo(cleaned[2], 0.176611101177, 5e-11)
  })
})

// Fifty of the oxide readings and an invented covariate; expected values from variance-components.R beside this file.
// nlme 3.1-162 agrees to the six digits at which it stops:
// lme(thickness ~ x, d, random = ~ 1 | lot/wafer, control = lmeControl(msTol = 1e-14, tolerance = 1e-14)).
describe('an unbalanced case', () => {
  const all = dataTable('oxide_thickness.csv')
  const dropped = [2, 3, 5, 9, 10, 11, 12, 20, 31, 32, 33, 34, 35, 36, 41, 55, 56, 60, 61, 62, 66, 71]
  const rows = Array.from({ length: all.rows }, (_, row) => row).filter((row) => !dropped.includes(row + 1))
  const columns = [
    ...all.columns.map((column) => ({ ...column, values: rows.map((row) => column.values[row] ?? null) })),
    { name: 'x', values: rows.map((_, i) => ((i + 1) * 7) % 11) },
  ]
  const fit = mixed({
    table: { rows: rows.length, columns },
    model: 'thickness ~ x',
    random: 'lot/wafer',
    session: 'lot',
  })
  const report = fit.report([{ x: 4 }])

  test('variances, estimates, errors', () => {
    const [lot, wafer, site] = report.varianceComponents
    closeTo(lot?.variance, 132.317593702056, 1e-12)
    closeTo(wafer?.variance, 46.5128868065358, 1e-12)
    closeTo(site?.variance, 11.4124987655253, 1e-12)
    closeTo(report.logLikelihood, -161.738024150979, 1e-13)
    const [constant, x] = report.terms
    closeTo(constant?.estimate, 1999.83836967481, 1e-13)
    closeTo(constant?.standardError, 4.46206864079763)
    closeTo(constant?.df, 7.43578581533169, 1e-11)
    closeTo(x?.estimate, 0.0335628115133186, 1e-10)
    closeTo(x?.standardError, 0.159450761800249)
    closeTo(x?.df, 28.5543494655678, 1e-11)
  })

  test('the fifth run', () => {
    const run = report.runs[4]
    closeTo(run?.residual, -0.552270998596656, 1e-11)
    closeTo(run?.leverage, 0.472872163636077, 1e-12)
    closeTo(run?.studentized, -0.225166558753269, 1e-11)
    closeTo(run?.cooksDistance, 0.000525799423191597, 1e-9)
  })

  test('predictions for the last lot and for another', () => {
    const [same, other] = report.predictions
    expect([same?.scope, other?.scope]).toEqual(['sameSession', 'otherSession'])
    closeTo(other?.estimate, 1999.97262092087, 1e-14)
    closeTo(other?.standardErrorOfMean, 4.39271861087956)
    closeTo(other?.df, 6.98272620339347, 1e-11)
    // t(0.975) at 10.06297707750314 degrees of freedom, qt() of R.
    const width = (other?.prediction[1] ?? 0) - (other?.prediction[0] ?? 0)
    closeTo(width / 2, 14.47546047863364 * 2.22625016203314, 1e-9)
    // The last lot of the rows.
    expect(same?.session).toBe('8')
    closeTo(same?.estimate, 1993.7453698540135, 1e-13)
    closeTo((same?.standardErrorOfMean ?? 0) ** 2, 15.4996483885716, 1e-11)
    // predict(…, level = 1) of nlme 3.1-162, to the digits at which it stops.
    closeTo(same?.estimate, 1993.74536277613, 5e-9)
  })

  test('predictions for a lot that the settings name', () => {
    const [same, other] = fit.predict([{ x: 4, lot: 4 }])
    expect([same?.session, other?.session]).toEqual(['4', undefined])
    closeTo(same?.estimate, 1996.8529855416907, 1e-13)
    closeTo((same?.standardErrorOfMean ?? 0) ** 2, 37.9190119449254, 1e-11)
    closeTo(same?.estimate, 1996.85297517252, 1e-8)
    closeTo(other?.estimate, 1999.97262092087, 1e-14)
  })
})
