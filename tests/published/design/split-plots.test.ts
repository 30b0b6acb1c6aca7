import { expect, test } from 'vitest'
import { usualTerms } from '../../../shared/design/design-terms.ts'
import { evaluateDesign } from '../../../shared/design/evaluate.ts'
import { categorical, continuous } from '../../unit/design/examples.ts'
import { dataTable } from '../model/data-table.ts'

/** Rows of a table as records. */
function rowsOf(file: string) {
  const { columns, rows } = dataTable(file)
  return Array.from(
    { length: rows },
    (_, row) => Object.fromEntries(columns.map(({ name, values }) => [name, values[row] ?? ''])) as Row,
  )
}
type Row = Record<string, string | number>

// Split plots in blocks where a term of easy factors is caught between the visits, wholly or in part, and with
// visits of unequal size: dense generalized least squares and Satterthwaite's degrees of freedom in R 4.2.2
// (split-plots.R).
const runs = rowsOf('split_plots_in_blocks.csv')
const expected = rowsOf('split_plot_errors.csv')

test.each(
  ['one', 'two', 'three', 'four'].flatMap((plan) => [1, 0.25].map((ratio) => [plan, ratio] as const)),
)('plan %s, visit variance %f: errors, degrees of freedom and effects are those of R', (plan, ratio) => {
  const own = runs.filter((run) => run.case === plan)
  const lots = [...new Set(own.map((run) => String(run.lot)))].sort()
  const factors = [
    continuous('bake', { hardToChange: true, levels: 3 }),
    continuous('time'),
    categorical('lot', lots),
  ]
  const { smallestDetectable, strata, residualDf } = evaluateDesign({
    factors,
    runs: own.map(({ bake, time, lot, block, visit }) => ({
      coded: { bake: bake!, time: time!, lot: lot! },
      block: block as number,
      plateVisit: visit as number,
    })),
    terms: usualTerms(factors, (factor) => factor.levels === 3),
    varianceRatio: ratio,
  })
  const wanted = expected.filter((row) => row.case === plan && row.ratio === ratio)
  expect(smallestDetectable.map(({ term }) => term).sort()).toEqual(wanted.map(({ term }) => term).sort())
  for (const { term, df, effect } of wanted) {
    const found = smallestDetectable.find((one) => one.term === term)
    expect(found?.df, String(term)).toBeCloseTo(df as number, 6)
    expect((found?.effect as number) / (effect as number), String(term)).toBeCloseTo(1, 6)
  }
  expect(strata.reduce((sum, stratum) => sum + stratum.df, 0)).toBe(residualDf)
})

test('an interaction that changes with the visits only is judged between visits', () => {
  const own = runs.filter((run) => run.case === 'one')
  const factors = [
    continuous('bake', { hardToChange: true, levels: 3 }),
    continuous('time'),
    categorical('lot', ['A', 'B']),
  ]
  const { smallestDetectable, strata } = evaluateDesign({
    factors,
    runs: own.map(({ bake, time, lot, block, visit }) => ({
      coded: { bake: bake!, time: time!, lot: lot! },
      block: block as number,
      plateVisit: visit as number,
    })),
    terms: usualTerms(factors, (factor) => factor.levels === 3),
  })
  const between = smallestDetectable.filter(({ stratum }) => stratum === 'plateVisit')
  expect(between.map(({ term }) => term)).toEqual(['bake', 'time.lot[B]', 'bake^2'])
  // Ranks of the columns of visits, blocks and model in R 4.2.2 (qr).
  expect(strata.map(({ df }) => df)).toEqual([1, 2])
})
