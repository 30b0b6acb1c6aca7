import { expect, test } from 'vitest'
import { predictedWithoutOwn } from '../../../shared/model/left-out.ts'
import { atRows } from '../../../shared/model/table.ts'
import { closeTo } from './close-to.ts'
import { dataTable } from './data-table.ts'
import { fittedModel } from './fitted.ts'

// Expected values: left-out.R beside this file, run in R 4.2.2.

const stack = { file: 'stackloss.csv', model: '"stack.loss" ~ "Air.Flow" + "Water.Temp" + "Acid.Conc."' }
const trees = { file: 'trees.csv', model: 'log(Volume) ~ log(Girth) + log(Height)' }

test.each([
  [stack, 1, 37.368798690264, 29.251466091252, 45.486131289276],
  [stack, 4, 21.462067183527, 14.707112783171, 28.217021583883],
  [stack, 21, 25.116074591916, 18.677052477604, 31.555096706227],
  [trees, 1, 10.037899462496, 8.3482217619148, 12.069567447148],
  [trees, 18, 33.071782565751, 28.013852707649, 39.042926850889],
  [trees, 31, 78.101301717943, 64.732356012685, 94.231288736684],
])('%o: run %i predicted without it', ({ file, model }, row, estimate, lower, upper) => {
  const { fitted } = fittedModel({ table: dataTable(file), model })
  const found = predictedWithoutOwn(fitted)[row - 1]
  closeTo(found?.estimate, estimate, 1e-11)
  closeTo(found?.prediction[0], lower, 1e-11)
  closeTo(found?.prediction[1], upper, 1e-11)
})

test('a run that alone tells of a term has no prediction without it', () => {
  const whole = dataTable('trees.csv')
  const marked = { columns: [...whole.columns, column((row) => (row === 4 ? 1 : 0))], rows: whole.rows }
  const { fitted } = fittedModel({ table: marked, model: 'log(Volume) ~ log(Girth) + mark' })
  const found = predictedWithoutOwn(fitted)
  expect(found[4]).toBeNull()
  expect(found.filter((one) => one !== null)).toHaveLength(whole.rows - 1)

  function column(of: (row: number) => number) {
    return { name: 'mark', values: Array.from({ length: whole.rows }, (_, row) => of(row)) }
  }
})

test('with one degree of freedom nothing is left for an interval', () => {
  const whole = dataTable('trees.csv')
  const rows = [0, 10, 20, 30]
  const table = { columns: whole.columns.map((one) => atRows(one, rows)), rows: rows.length }
  const { fitted } = fittedModel({ table, model: 'log(Volume) ~ log(Girth) + log(Height)' })
  expect(predictedWithoutOwn(fitted)).toEqual([null, null, null, null])
})
