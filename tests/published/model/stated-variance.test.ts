import { describe, test } from 'vitest'
import { fitMixed } from '../../../shared/model/mixed.ts'
import type { StatedVariance } from '../../../shared/model/stated-variance.ts'
import { closeTo } from './close-to.ts'
import { dataTable } from './data-table.ts'

// Fifty of the oxide readings (Littell, Milliken, Stroup & Wolfinger, 1996, data set 4.4) and an invented covariate;
// expected values from stated-variance.R beside this file, by dense matrices and Fisher scoring.
const all = dataTable('oxide_thickness.csv')
const dropped = [2, 3, 5, 9, 10, 11, 12, 20, 31, 32, 33, 34, 35, 36, 41, 55, 56, 60, 61, 62, 66, 71]
const rows = Array.from({ length: all.rows }, (_, row) => row).filter((row) => !dropped.includes(row + 1))
const columns = [
  ...all.columns.map((column) => ({ ...column, values: rows.map((row) => column.values[row] ?? null) })),
  { name: 'x', values: rows.map((_, i) => ((i + 1) * 7) % 11) },
]
const table = { rows: rows.length, columns }

function reportWith(stated: Record<string, StatedVariance>) {
  const answer = fitMixed({ table, model: 'thickness ~ x', random: 'lot/wafer', stated })
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.message).join('\n'))
  return answer.value.report([{ x: 4 }])
}

describe('a stated variance is weighed by its degrees of freedom', () => {
  test.each([
    {
      stated: { lot: { variance: 25, df: 20 } } as Record<string, StatedVariance>,
      variances: [34.6597530240694, 71.5243568600317, 11.3741415628444],
      estimates: [2000.20945529934, 0.0435264072056221],
      errors: [2.971978622175433, 0.159381925104113],
      df: [45.4613013487441, 28.4018252312868],
      logLikelihood: -164.086916560056,
      // A site on a new wafer of a new lot: variance, degrees of freedom, and qt(0.975) at these.
      run: [125.7679071415508, 32.4023395030277, 2.0359418579637],
    },
    {
      stated: { lot: { variance: 25, df: 20 }, 'lot/wafer': { variance: 9, df: 4 } },
      variances: [40.2397926249333, 45.5054030549428, 11.5317440176884],
      estimates: [2000.07958758355, 0.03890015690261],
      errors: [2.876810371096532, 0.160216713140912],
      df: [48.7747944532934, 28.6325259401376],
      logLikelihood: -163.9410607093,
      run: [104.9268144921951, 48.4724354067584, 2.01012862006762],
    },
  ])('$stated', ({ stated, variances, estimates, errors, df, logLikelihood, run }) => {
    const report = reportWith(stated)
    variances.forEach((value, g) => {
      closeTo(report.varianceComponents[g]?.variance, value, 1e-11)
    })
    estimates.forEach((value, k) => {
      closeTo(report.terms[k]?.estimate, value, 1e-10)
      closeTo(report.terms[k]?.standardError, errors[k] as number, 1e-11)
      closeTo(report.terms[k]?.df, df[k] as number, 1e-10)
    })
    closeTo(report.logLikelihood, logLikelihood, 1e-11)
    const [lower = 0, upper = 0] = report.predictions[0]?.prediction ?? []
    closeTo((upper - lower) / 2, Math.sqrt(run[0] as number) * (run[2] as number), 1e-10)
  })
})
