import { describe, expect, test } from 'vitest'
import { fitMixed } from '../../../shared/model/mixed.ts'
import { closeTo } from './close-to.ts'
import { dataTable, withColumn } from './data-table.ts'

// Oats (Yates, J. Roy. Statist. Soc. Suppl. 2, 1935) without fifteen of its plots; expected values from unbalanced.R
// beside this file, by packages of R whose search ends at about eight digits. Degrees of freedom by Satterthwaite rest on
// the expected information of the variances here, as pbkrtest gives it; lmerTest takes the observed one, from which they
// differ where the runs are unbalanced.
const all = dataTable('oats_split_plot.csv')
const dropped = [1, 6, 7, 14, 23, 29, 30, 31, 32, 44, 51, 58, 59, 66, 70]
const rows = Array.from({ length: all.rows }, (_, row) => row).filter((row) => !dropped.includes(row + 1))
const table = withColumn(
  {
    rows: rows.length,
    columns: all.columns.map((column) => ({
      ...column,
      values: rows.map((row) => column.values[row] ?? null),
    })),
  },
  'square',
  (cell) => cell('nitro') ** 2,
)

function fitOf(model: string) {
  const answer = fitMixed({ table, model, random: 'block/variety' })
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.message).join('\n'))
  return answer.value
}

describe('an unbalanced split plot', () => {
  test('one term within plots', () => {
    const fit = fitOf('yield ~ nitro')
    const report = fit.report()
    const [block, plot, rest] = report.varianceComponents
    closeTo(block?.variance, 190.309837036, 1e-7)
    closeTo(plot?.variance, 148.537788138, 1e-7)
    closeTo(rest?.variance, 171.469185986, 1e-7)
    closeTo(report.logLikelihood, -236.12255708, 1e-11)
    const [constant, nitro] = report.terms
    closeTo(constant?.estimate, 82.7297449954, 1e-8)
    closeTo(constant?.standardError, 6.98629552008, 1e-7)
    closeTo(constant?.df, 6.20663571616, 1e-7)
    closeTo(constant?.df, 6.30715919248, 0.02)
    closeTo(nitro?.estimate, 72.4979395751, 1e-8)
    closeTo(nitro?.standardError, 7.47415217352, 1e-8)
    closeTo(nitro?.df, 39.4392243996, 1e-7)
    closeTo(nitro?.df, 39.46328328904, 0.02)
    closeTo(report.marginalTests[0]?.f, 94.0865309755, 1e-7)
  })

  test('terms between and within plots', () => {
    const fit = fitOf('yield ~ variety + nitro + square')
    const report = fit.report()
    const [block, plot, rest] = report.varianceComponents
    closeTo(block?.variance, 195.302001499, 1e-6)
    closeTo(plot?.variance, 119.82992137, 1e-6)
    closeTo(rest?.variance, 171.151973044, 1e-6)
    closeTo(report.logLikelihood, -223.123904166, 1e-11)
    const expected = [
      [73.12821389292, 8.31928309322, 11.7006827983, 11.64417213476],
      [9.60985770399, 8.10019871005, 9.16871567176, 9.12831892484],
      [13.22083321197, 7.57026294839, 8.77384720563, 8.74531610941],
      [110.99319409018, 28.09250496603, 39.9639159486, 39.55777199346],
      [-63.95262679197, 45.27095334478, 40.0733746353, 39.66988971569],
    ]
    expected.forEach(([estimate, standardError, expectedDf, observedDf], k) => {
      closeTo(report.terms[k]?.estimate, estimate as number, 1e-6)
      closeTo(report.terms[k]?.standardError, standardError as number, 1e-6)
      closeTo(report.terms[k]?.df, expectedDf as number, 1e-6)
      closeTo(report.terms[k]?.df, observedDf as number, 0.02)
    })
    // Of a factor with three levels: F whole, with the degrees of freedom of its error.
    const [variety, nitro] = fit.tests.marginal()
    closeTo(variety?.f, 1.61758687163, 1e-6)
    closeTo(variety?.denominatorDf, 9.0589902392, 0.02)
    closeTo(variety?.p, 0.25078521913751, 0.002)
    closeTo(nitro?.f, 15.610318575, 1e-6)
    expect(report.dfMethod).toBe('satterthwaite')
  })
})
