import { describe, expect, test } from 'vitest'
import { type CompareOptions, compareGroups, type GroupComparison } from '../../../shared/model/lots.ts'
import { closeTo } from './close-to.ts'
import { dataTable } from './data-table.ts'
import { fitOf } from './fitted.ts'

// Published data; the expected values were computed independently in R 4.2.2.

function comparisonOf(options: CompareOptions): GroupComparison {
  const answer = compareGroups(options)
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.message).join('\n'))
  return answer.value
}

describe('gas use before and after insulation (Whiteside; Venables & Ripley, MASS)', () => {
  const table = dataTable('whiteside_gas.csv')
  const comparison = comparisonOf({ table, model: 'Gas ~ Temp', by: 'Insul', target: 4, margin: 0.05 })
  const [same, parallel] = comparison.tests

  test('one line for all: F(1, 52) = 318.45 with the error of separate lines', () => {
    expect(same).toMatchObject({ question: 'same', df1: 1, df2: 52 })
    closeTo(same?.f, 318.45059, 1e-7)
    expect(same?.p).toBeLessThan(2.2e-16)
  })

  test('parallel lines: F(1, 52) = 12.893, p = 0.00073', () => {
    expect(parallel).toMatchObject({ question: 'parallel', df1: 1, df2: 52 })
    closeTo(parallel?.f, 12.89287, 1e-6)
    closeTo(parallel?.p, 0.00073069, 1e-5)
    expect(comparison.problems.map(({ code }) => code)).toEqual(['notParallel'])
  })

  test('the slope after insulation differs by +0.1153 ± 2.0066·0.03211', () => {
    expect(comparison.slopes).toMatchObject([{ group: 'After', term: 'Temp' }])
    const [slope] = comparison.slopes
    closeTo(slope?.reference, -0.393238822246, 1e-9)
    closeTo(slope?.difference, 0.115303870459, 1e-9)
    // R: confint(lm(Gas ~ Temp * Insul)): t(0.975; 52) = 2.00664681.
    closeTo(slope?.upper, 0.115303870459 + 2.00664680506 * 0.0321121248404, 1e-9)
    closeTo(slope?.lower, 0.115303870459 - 2.00664680506 * 0.0321121248404, 1e-9)
  })

  test('the models behind them', () => {
    const separate = fitOf({ table, model: 'Gas ~ Temp * Insul' })
    expect(separate.terms.map(({ term }) => term)).toEqual([
      'constant',
      'Temp',
      'Insul[After]',
      'Temp.Insul[After]',
    ])
    const estimates = [6.853827699019, -0.393238822246, -2.129978030875, 0.115303870459]
    separate.terms.forEach((term, i) => {
      closeTo(term.estimate, estimates[i] as number, 3e-12)
    })
    closeTo(separate.terms[3]?.standardError, 0.0321121248404, 1e-11)
    closeTo(separate.residualStandardDeviation, 0.323004150039, 2e-12)
    const sums = [35.01941752, 33.22448574, 1.34513505]
    sums.forEach((sum, i) => {
      closeTo(separate.analysisOfVariance[i]?.sumOfSquares, sum, 1e-8)
    })
    const together = fitOf({ table, model: 'Gas ~ Insul + Temp' })
    const errors = [0.1180864124001, 0.0970533783717, 0.0177631135364]
    together.terms.forEach((term, i) => {
      closeTo(term.standardError, errors[i] as number, 3e-12)
    })
  })

  test('the shift at the target: where the first line reaches 4, the second lies at 0.6767 of it', () => {
    // By hand from the lines above: T* = (6.853827699019 − 4) / 0.393238822246.
    const at = (6.853827699019 - 4) / 0.393238822246
    const after = 6.853827699019 - 2.129978030875 + (0.115303870459 - 0.393238822246) * at
    const [shift] = comparison.shifts
    expect(comparison.shifts.map(({ group }) => group)).toEqual(['After'])
    closeTo(shift?.ratio, after / 4, 1e-11)
    closeTo(comparison.reference.speedFor, at, 1e-11)
    closeTo(shift?.speedFor, (4 - 6.853827699019 + 2.129978030875) / (0.115303870459 - 0.393238822246), 1e-11)
    expect(shift?.equivalent).toBe(false)
  })
})

describe('pipeline defects by batch (Handbook of Statistical Methods, section 4.6.2)', () => {
  const table = dataTable('nist_berger_pipeline.csv')

  test('on the plain scale the slopes differ', () => {
    const { tests, groups } = comparisonOf({
      table,
      model: 'field ~ lab',
      by: 'batch',
      target: null,
      margin: null,
    })
    expect(groups).toEqual(['1', '2', '3', '4', '5', '6'])
    expect(tests).toMatchObject([
      { df1: 5, df2: 95 },
      { df1: 5, df2: 95 },
    ])
    closeTo(tests[0]?.f, 1.3002, 1e-5)
    closeTo(tests[0]?.p, 0.270417, 1e-5)
    closeTo(tests[1]?.f, 2.44425, 1e-5)
    closeTo(tests[1]?.p, 0.039518, 1e-4)
  })

  test('on the log scale they do not', () => {
    const model = 'log(field) ~ log(lab)'
    const { tests, shifts } = comparisonOf({ table, model, by: 'batch', target: 40, margin: 0.1 })
    closeTo(tests[0]?.f, 1.52969, 1e-5)
    closeTo(tests[0]?.p, 0.18791, 1e-4)
    closeTo(tests[1]?.f, 0.7089, 1e-5)
    closeTo(tests[1]?.p, 0.61819, 1e-4)
    expect(shifts).toHaveLength(5)
  })
})

describe('two sets of film thicknesses (Hurwitz & Spagon, Statistical Methods for Test Procedures)', () => {
  const table = dataTable('spagon_film_thickness.csv', { names: ['test'] })

  test('difference −50 with pooled error 76.5, 90 % interval ±129.8 around it', () => {
    const fit = fitOf({ table, model: 'thickness ~ test', level: 0.9 })
    const difference = fit.terms[1]
    closeTo(difference?.estimate, -50, 1e-13)
    closeTo(difference?.standardError, 76.5030500481)
    closeTo(difference?.t, -0.6535687135, 1e-9)
    closeTo(difference?.p, 0.518368171, 1e-9)
    closeTo(difference?.lower, -179.845634552)
    closeTo(difference?.upper, 79.8456345518)
  })

  // Two one-sided tests at 0.05: p = 0.2592 at ±100, 0.1005 at ±150, 0.0296 at ±200 (pooled), of a mean of 3200.
  test.each([
    [100, false],
    [150, false],
    [200, true],
  ])('equivalent within ±%f: %s', (margin, expected) => {
    const { shifts } = comparisonOf({
      table,
      model: 'thickness ~ 1',
      by: 'test',
      target: null,
      margin: margin / 3200,
    })
    closeTo(shifts[0]?.ratio, 3150 / 3200, 1e-13)
    expect(shifts[0]?.equivalent).toBe(expected)
  })
})
