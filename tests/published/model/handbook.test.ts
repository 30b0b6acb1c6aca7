import { describe, expect, test } from 'vitest'
import { closeTo } from './close-to.ts'
import { dataTable } from './data-table.ts'
import { fitOf } from './fitted.ts'

// NIST/SEMATECH e-Handbook of Statistical Methods, doi:10.18434/M32189. Data from its files; the numbers with
// more digits than it prints were computed independently in R 4.2.2 and agree with what it prints.

const cvd = dataTable('nist_cvd_rsm.csv')
const quadratic = 'coded_p + coded_r + coded_p^2 + coded_r^2 + coded_p.coded_r'

describe('film deposition, response surface in coded factors (section 5.4.7.3)', () => {
  test('uniformity: the printed estimates 5.86613, −1.90967, −0.22408, 0.13373, 0.03373, 1.68617', () => {
    const fit = fitOf({ table: cvd, model: `uniformity_pct ~ ${quadratic}` })
    const estimates = [5.86612597, -1.90967035, -0.22408127, 0.13373348, 0.03373348, 1.68617338]
    const errors = [0.41772663, 0.36103056, 0.36103056, 0.60732978, 0.60732978, 0.71765506]
    fit.terms.forEach((term, i) => {
      closeTo(term.estimate, estimates[i] as number, 2e-7)
      closeTo(term.standardError, errors[i] as number, 2e-8)
    })
    closeTo(fit.residualStandardDeviation, 0.723539830707)
    closeTo(fit.rSquared, 0.871574291864)
    closeTo(fit.rSquaredAdjusted, 0.743148583729)
    closeTo(fit.press, 13.0402606614, 1e-11)
    expect(fit.lackOfFit).toMatchObject({ df: 3, pureErrorDf: 2 })
    closeTo(fit.lackOfFit?.f, 0.855164399086)
    closeTo(fit.lackOfFit?.p, 0.578764707092)
  })

  test('stress', () => {
    const fit = fitOf({ table: cvd, model: `stress ~ ${quadratic}` })
    const estimates = [7.79003999, 0.73593268, 0.49686286, -0.5287277, -0.1187277, 0.06943067]
    fit.terms.forEach((term, i) => {
      closeTo(term.estimate, estimates[i] as number, 1e-7)
    })
    closeTo(fit.residualStandardDeviation, 0.0770695602998)
    closeTo(fit.rSquared, 0.991750517874)
    closeTo(fit.press, 0.103274948832, 1e-11)
    closeTo(fit.lackOfFit?.f, 0.225182751471, 1e-11)
    closeTo(fit.lackOfFit?.p, 0.873128118011, 1e-11)
  })

  test('the same surface in the tool’s own units has the same fit', () => {
    // Natural units give unrounded coded values, so the third digit differs from the coded file.
    const model = 'pressure_torr + h2_wf6 + pressure_torr^2 + h2_wf6^2 + pressure_torr.h2_wf6'
    const uniformity = fitOf({ table: cvd, model: `uniformity_pct ~ ${model}` })
    closeTo(uniformity.residualStandardDeviation, 0.725895597306)
    closeTo(uniformity.rSquared, 0.870736650311)
    closeTo(uniformity.press, 13.1652398272, 1e-11)
    closeTo(uniformity.lackOfFit?.f, 0.86509036295)
    const stress = fitOf({ table: cvd, model: `stress ~ ${model}` })
    closeTo(stress.residualStandardDeviation, 0.0764240728061)
    closeTo(stress.press, 0.09976810681, 1e-10)
    closeTo(stress.lackOfFit?.p, 0.882564678155)
  })

  test('reduced models', () => {
    const twisted = fitOf({ table: cvd, model: 'uniformity_pct ~ coded_p * coded_r - coded_r' })
    closeTo(twisted.residualStandardDeviation, 0.596305981163)
    closeTo(twisted.rSquared, 0.860432147908)
    closeTo(twisted.press, 5.6021222718, 1e-10)
    const bent = fitOf({ table: cvd, model: 'stress ~ coded_p + coded_r + coded_p^2' })
    closeTo(bent.residualStandardDeviation, 0.0883220477165)
    expect(bent.lackOfFit).toMatchObject({ df: 5, pureErrorDf: 2 })
    closeTo(bent.lackOfFit?.f, 0.583882680899, 1e-11)
    closeTo(bent.press, 0.123335196415, 1e-11)
  })
})

describe('yield against temperature and time (section 5.5.3.1)', () => {
  test('first cycle: first-order model −1.2925, 11.14', () => {
    const fit = fitOf({ table: dataTable('nist_5531_first_order.csv'), model: 'yield ~ x1 + x2' })
    const expected = [
      [40.64444444, 2.2383963],
      [-1.2925, 3.35759445],
      [11.1425, 3.35759445],
    ]
    fit.terms.forEach((term, i) => {
      closeTo(term.estimate, expected[i]?.[0] as number, 1e-9)
      closeTo(term.standardError, expected[i]?.[1] as number, 2e-9)
    })
    closeTo(fit.residualStandardDeviation, 6.71518890554)
    closeTo(fit.lackOfFit?.f, 0.408736002713)
    closeTo(fit.lackOfFit?.p, 0.689416357308)
    expect(fit.lackOfFit).toMatchObject({ df: 2, pureErrorDf: 4 })
  })

  test('second cycle', () => {
    const fit = fitOf({ table: dataTable('nist_5531_second_cycle.csv'), model: 'yield ~ x1 + x2' })
    expect(fit.terms.map(({ estimate }) => Number(estimate.toFixed(10)))).toEqual([66.53, -11.12, 1.64])
    closeTo(fit.residualStandardDeviation, 10.0286157237, 2e-12)
    closeTo(fit.lackOfFit?.f, 4.96897331704)
    closeTo(fit.lackOfFit?.p, 0.0823611473371)
  })

  test('second cycle with axial points: second-order model, sums of squares in formula order', () => {
    const [second, axial] = ['nist_5531_second_cycle.csv', 'nist_5531_axial.csv'].map((file) =>
      dataTable(file),
    )
    const table = {
      rows: (second?.rows ?? 0) + (axial?.rows ?? 0),
      columns: (second?.columns ?? []).map((column, i) => ({
        ...column,
        values: [...column.values, ...(axial?.columns[i]?.values ?? [])],
      })),
    }
    const fit = fitOf({ table, model: 'yield ~ x1 + x2 + x1^2 + x2^2 + x1.x2' })
    const expected = [
      ['constant', 71.99739627, 2.58035015],
      ['x1', -11.77630822, 2.04009998],
      ['x2', 0.74057433, 2.04009998],
      ['x1^2', -7.25145698, 2.18807235],
      ['x2^2', -7.54904685, 2.18807235],
      ['x1.x2', -4.845, 2.88491923],
    ] as const
    expect(fit.terms.map(({ term }) => term)).toEqual(expected.map(([term]) => term))
    fit.terms.forEach((term, i) => {
      closeTo(term.estimate, expected[i]?.[1] as number, 1e-8)
      closeTo(term.standardError, expected[i]?.[2] as number, 2e-9)
    })
    const sums = [1109.2839556, 4.3869401, 277.8983852, 396.2672608, 93.8961, 233.0372506]
    sums.forEach((sum, i) => {
      closeTo(fit.analysisOfVariance[i]?.sumOfSquares, sum, 1e-8)
    })
    closeTo(fit.residualStandardDeviation, 5.7698384551)
    closeTo(fit.rSquared, 0.889804913795)
    closeTo(fit.press, 696.252633483)
    closeTo(fit.lackOfFit?.f, 0.460861737989)
    closeTo(fit.lackOfFit?.p, 0.724702994673)
  })
})

describe('analysis of variance', () => {
  test('machines (section 3.2.3.1)', () => {
    const table = dataTable('nist_ppc231_oneway.csv', { names: ['machine'] })
    const [machine, residual] = fitOf({ table, model: 'diameter ~ machine' }).analysisOfVariance
    closeTo(machine?.sumOfSquares, 0.00013744, 1e-11)
    closeTo(residual?.sumOfSquares, 0.000132, 1e-11)
    closeTo(machine?.f, 5.206060606, 1e-9)
    closeTo(machine?.p, 0.004858655291, 1e-9)
  })

  test('machine × coolant, and coolant nested in machine (section 3.2.3.2)', () => {
    const table = dataTable('nist_ppc232_twoway.csv', { names: ['machine'] })
    const crossed = fitOf({ table, model: 'diameter ~ machine * coolant' }).analysisOfVariance
    expect(crossed.map(({ source, df }) => [source, df])).toEqual([
      ['machine', 4],
      ['coolant', 1],
      ['machine.coolant', 4],
      ['residual', 40],
      ['total', 49],
    ])
    const expected = [
      [0.00030332, 8.7664739884, 3.523547877e-5],
      [3.92e-6, 0.4531791908, 0.5047001704],
      [1.468e-5, 0.4242774566, 0.7901732801],
    ]
    expected.forEach(([sum, f, p], i) => {
      closeTo(crossed[i]?.sumOfSquares, sum as number, 1e-9)
      closeTo(crossed[i]?.f, f as number, 1e-9)
      closeTo(crossed[i]?.p, p as number, 1e-9)
    })
    const [, nested] = fitOf({ table, model: 'diameter ~ machine / coolant' }).analysisOfVariance
    expect(nested).toMatchObject({ source: 'machine.coolant', df: 5 })
    closeTo(nested?.sumOfSquares, 1.86e-5, 1e-9)
    closeTo(nested?.f, 0.4300578035, 1e-9)
    closeTo(nested?.p, 0.8249303776, 1e-9)
  })

  test('three levels (section 7.4.3.3): 27.897, 17.452, F 9.59', () => {
    const readings = [
      [6.9, 5.4, 5.8, 4.6, 4],
      [8.3, 6.8, 7.8, 9.2, 6.5],
      [8, 10.5, 8.1, 6.9, 9.3],
    ]
    const table = {
      rows: 15,
      columns: [
        { name: 'level', values: readings.flatMap((row, i) => row.map(() => `level ${i + 1}`)) },
        { name: 'y', values: readings.flat() },
      ],
    }
    const [level, residual] = fitOf({ table, model: 'y ~ level' }).analysisOfVariance
    closeTo(level?.sumOfSquares, 27.8973333333, 1e-11)
    closeTo(residual?.sumOfSquares, 17.452)
    closeTo(level?.f, 9.591107036, 1e-9)
    closeTo(level?.p, 0.003248222601, 1e-9)
  })
})

test('pipeline defects (section 4.6.2): 4.99368, 0.73111, 6.0809', () => {
  const fit = fitOf({ table: dataTable('nist_berger_pipeline.csv'), model: 'field ~ lab' })
  closeTo(fit.terms[0]?.estimate, 4.993679936982)
  closeTo(fit.terms[1]?.estimate, 0.731111063855)
  closeTo(fit.terms[0]?.standardError, 1.125657797779, 2e-12)
  closeTo(fit.terms[1]?.standardError, 0.0245519522815, 2e-12)
  closeTo(fit.residualStandardDeviation, 6.08092382816)
  expect(fit.lackOfFit).toMatchObject({ df: 76, pureErrorDf: 29 })
  closeTo(fit.lackOfFit?.f, 0.985679183777, 1e-11)
})
