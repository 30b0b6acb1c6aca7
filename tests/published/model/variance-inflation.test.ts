import { expect, test } from 'vitest'
import { closeTo } from './close-to.ts'
import { dataTable } from './data-table.ts'
import { fitOf } from './fitted.ts'

// Oats (Yates, 1935), seven plots left out so that factors are not orthogonal. Expected values: box-cox.R, the
// determinants of Fox & Monette (1992) in R 4.2.2.

const whole = dataTable('oats_split_plot.csv')
const kept = Array.from({ length: whole.rows }, (_, row) => row).filter(
  (row) => ![1, 2, 7, 20, 33, 41, 58].includes(row + 1),
)
const oats = {
  rows: kept.length,
  columns: whole.columns.map((column) => ({
    ...column,
    values: kept.map((row) => column.values[row] ?? null),
  })),
}

test.each([
  [
    'yield ~ block + variety + nitro',
    undefined,
    { block: 1.00603328923606, variety: 1.01190022799316, nitro: 1.01149254678199 },
  ],
  [
    'yield ~ nitro * variety',
    undefined,
    { nitro: 2.93070523486497, variety: 2.96111508015598, 'nitro.variety': 3.75666522421555 },
  ],
  ['yield ~ block + nitro', 'yield', { block: 1.00184980698064, nitro: 1.00928331611684 }],
])('variance inflation of %s, weights %s', (model, weights, expected) => {
  const { terms } = fitOf({ table: oats, model, ...(weights === undefined ? {} : { weights }) })
  expect(terms[0]).toMatchObject({ term: 'constant', varianceInflation: null })
  for (const { term, varianceInflation } of terms.slice(1)) {
    const name = term.replace(/\[[^\]]*\]/, '') as keyof typeof expected
    closeTo(varianceInflation, expected[name] as unknown as number, 1e-12)
  }
})

test('without a constant columns are taken about zero: crossed ones inflate nothing', () => {
  const table = {
    rows: 4,
    columns: [
      { name: 'y', values: [1, 3, 2, 5] },
      { name: 'a', values: [-1, 1, -1, 1] },
      { name: 'b', values: [-1, -1, 1, 1] },
    ],
  }
  const { terms } = fitOf({ table, model: 'y ~ 0 + a + b' })
  for (const { varianceInflation } of terms) closeTo(varianceInflation, 1, 1e-14)
})
