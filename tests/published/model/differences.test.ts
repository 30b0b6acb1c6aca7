import { describe, expect, test } from 'vitest'
import { closeTo } from './close-to.ts'
import { dataTable } from './data-table.ts'
import { fittedModel } from './fitted.ts'

// Expected values: differences.R beside this file, run in R 4.2.2.

type Expected = [error: number, estimate: number, lower: number, upper: number, df: number]

function compared(file: string, model: string, at: Record<string, number | string>, against: typeof at) {
  const report = fittedModel({ table: dataTable(file), model }).report([at], against)
  expect(report.differences).toHaveLength(1)
  return report.differences?.[0] as NonNullable<typeof report.differences>[number]
}

describe('differences of predictions against a base', () => {
  const stack = (air: number, water: number, acid: number) => ({
    'Air.Flow': air,
    'Water.Temp': water,
    'Acid.Conc.': acid,
  })
  const stackModel = '"stack.loss" ~ "Air.Flow" + "Water.Temp" + "Acid.Conc."'

  test.each<[string, string, Record<string, number | string>, Record<string, number | string>, Expected]>([
    [
      'stackloss.csv',
      stackModel,
      stack(70, 24, 88),
      stack(60, 20, 86),
      [0.93649713328017, 12.03330146411, 10.057465223719, 14.009137704501, 17],
    ],
    [
      'stackloss.csv',
      stackModel,
      stack(50, 20, 86),
      stack(60, 20, 86),
      [1.3485818535537, -7.1564020048528, -10.001661007464, -4.3111430022419, 17],
    ],
    [
      'whiteside_gas.csv',
      'Gas ~ Temp * Insul',
      { Temp: 5, Insul: 'After' },
      { Temp: 2, Insul: 'Before' },
      [0.11539792148868, -2.7331751453181, -2.9647380157841, -2.5016122748521, 52],
    ],
  ])('%s, %s', (file, model, at, against, [error, estimate, lower, upper, df]) => {
    const one = compared(file, model, at, against)
    expect(one).toMatchObject({ at, against, kind: 'difference', df })
    closeTo(one.estimate, estimate, 1e-11)
    closeTo(one.standardError, error, 1e-11)
    closeTo(one.confidence[0], lower, 1e-11)
    closeTo(one.confidence[1], upper, 1e-11)
  })
})

describe('ratios under a logarithm, carried back', () => {
  test.each<[string, Expected]>([
    [
      'log(thickness_um) ~ log(rpm) + log(rpm)^2',
      [0.0038214202326128, 0.72063042375209, 0.71442767263211, 0.72688702793926, 9],
    ],
    [
      'log10(thickness_um) ~ log10(rpm)',
      [Math.LN10 * 0.0024348355868126, 0.7173486732276, 0.70844338197064, 0.72636590598106, 10],
    ],
  ])('%s', (model, [errorOfLog, ratio, lower, upper, df]) => {
    const one = compared('upenn_resist_spin_curve.csv', model, { rpm: 3000 }, { rpm: 1500 })
    expect(one).toMatchObject({ kind: 'ratio', df })
    closeTo(one.estimate, ratio, 1e-11)
    closeTo(one.standardError, ratio * errorOfLog, 1e-11)
    closeTo(one.confidence[0], lower, 1e-11)
    closeTo(one.confidence[1], upper, 1e-11)
  })

  test('another transformation gives neither, and says so; without a base there is no list', () => {
    const model = fittedModel({ table: dataTable('cars.csv'), model: 'sqrt(dist) ~ speed' })
    const report = model.report([{ speed: 10 }, { speed: 20 }], { speed: 15 })
    expect(report.differences).toEqual([])
    expect(report.predictions).toHaveLength(2)
    expect(report.problems.filter(({ code }) => code === 'noDifference')).toHaveLength(1)
    expect(model.report([{ speed: 10 }])).not.toHaveProperty('differences')
  })
})
