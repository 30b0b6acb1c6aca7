import { describe, expect, test } from 'vitest'
import { compareModels } from '../../../shared/model/compare-models.ts'
import { closeTo } from './close-to.ts'
import { dataTable, withColumn } from './data-table.ts'

// Published data. Expected values: compare-models.R, by brute force in R 4.2.2: AICc on the scale of the measured
// quantity, root mean square of the left-out errors, and of these as fractions of the readings.

function compared(options: Parameters<typeof compareModels>[0]) {
  const answer = compareModels(options)
  if (!answer.ok) throw new Error(answer.problems.map(({ message }) => message).join('\n'))
  return answer.value
}

const trees = dataTable('trees.csv')
const oats = dataTable('oats_split_plot.csv')
const pipeline = dataTable('nist_berger_pipeline.csv', { names: ['batch'] })

describe('transformations compare', () => {
  test.each([
    [
      'trees',
      trees,
      [
        ['Volume ~ Girth + Height', 178.44843452573, 4.2612003702712, 0.22811005979244],
        ['log(Volume) ~ log(Girth) + log(Height)', 141.73658013664, 2.6427258100228, 0.085729663417505],
        ['log10(Volume) ~ log(Girth) + log(Height)', 141.73658013664, 2.6427258100228, 0.085729663417505],
        ['sqrt(Volume) ~ Girth + Height', 147.37533836216, 2.7418801202285, 0.094235046390841],
        ['inverse(Volume) ~ Girth + Height', 210.63481121676, 28.686797272633, 0.41525674796118],
      ],
    ],
    [
      'cars',
      dataTable('cars.csv'),
      [
        ['dist ~ speed', 419.67860215779, 15.697306009399, 0.58988738138577],
        ['sqrt(dist) ~ speed', 402.23372585586, 15.302903210179, 0.62111905562028],
        ['log(dist) ~ log(speed)', 409.64432461016, 15.358006157222, 0.51968691547182],
      ],
    ],
    [
      'a spin curve',
      dataTable('upenn_resist_spin_curve.csv'),
      [
        ['thickness_um ~ rpm', -5.9478003974694, 0.17220258267656, 0.2409090646538],
        ['log(thickness_um) ~ log(rpm)', -66.261125023892, 0.017861642848065, 0.023598463013957],
        ['log(thickness_um) ~ log(rpm) + log(rpm)^2', -73.22499642665, 0.035294997362385, 0.030237865935615],
      ],
    ],
  ] as const)('%s, one run left out at a time', (_, table, rows) => {
    const { models } = compared({ table, models: rows.map(([model]) => model) })
    const lowest = Math.min(...rows.map(([, aicc]) => aicc))
    rows.forEach(([model, aicc, error, relative], i) => {
      const row = models[i]
      expect(row).toMatchObject({ model, n: table.rows, leftOut: 'run' })
      closeTo(row?.aicc, aicc, 1e-12)
      closeTo(row?.predictionError, error, 1e-11)
      closeTo(row?.relativePredictionError, relative, 1e-11)
      expect(row?.aiccAbove).toBeCloseTo(aicc - lowest, 9)
    })
  })

  test('with weights', () => {
    const model = 'log(Volume) ~ log(Girth) + log(Height)'
    const { models } = compared({ table: trees, models: [model], weights: 'Height' })
    closeTo(models[0]?.aicc, 142.73175758339, 1e-12)
    closeTo(models[0]?.predictionError, 2.6517733320839, 1e-11)
    closeTo(models[0]?.relativePredictionError, 0.086033309971653, 1e-11)
  })
})

describe('one group left out at a time', () => {
  test.each([
    [
      'oats, by block',
      oats,
      'block',
      [
        ['yield ~ nitro', 650.65593058939, 23.488493636956, 0.23668072958183],
        ['yield ~ nitro + variety', 651.13517324617, 23.741245560011, 0.2337331558704],
        ['log(yield) ~ nitro * variety', 651.14311227982, 23.929932964688, 0.22952971475669],
      ],
    ],
    [
      'pipeline, by batch',
      pipeline,
      'batch',
      [
        ['field ~ lab', 694.17044678322, 6.2505515324964, 0.22749281649108],
        ['log(field) ~ log(lab)', 639.12358382371, 6.1093534416925, 0.17668903505597],
      ],
    ],
  ] as const)('%s', (_, table, group, rows) => {
    const { models } = compared({ table, models: rows.map(([model]) => model), group })
    rows.forEach(([model, aicc, error, relative], i) => {
      expect(models[i]).toMatchObject({ model, leftOut: group })
      closeTo(models[i]?.aicc, aicc, 1e-12)
      closeTo(models[i]?.predictionError, error, 1e-11)
      closeTo(models[i]?.relativePredictionError, relative, 1e-11)
    })
  })

  test('groups of one run are runs', () => {
    const table = withColumn(trees, 'each', (cell) => cell('Girth') * 1000 + cell('Volume'))
    const models = ['Volume ~ Girth + Height', 'log(Volume) ~ log(Girth)']
    const [runs, groups] = [compared({ table, models }), compared({ table, models, group: 'each' })]
    models.forEach((_, i) => {
      closeTo(groups.models[i]?.predictionError, runs.models[i]?.predictionError ?? Number.NaN, 1e-12)
    })
  })
})
