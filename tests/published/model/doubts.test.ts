import { expect, test } from 'vitest'
import { outlyingRuns } from '../../../shared/model/doubts/outlying-runs.ts'
import { visitEffects } from '../../../shared/model/doubts/plate-visits.ts'
import { neighboursAlike, orderSlope } from '../../../shared/model/doubts/run-order.ts'
import { quoted } from '../../../shared/model/expression.ts'
import { fitModel } from '../../../shared/model/fit.ts'
import { fitMixed } from '../../../shared/model/mixed.ts'
import { closeTo } from './close-to.ts'
import { dataTable } from './data-table.ts'

// Values by R and its package nlme: doubts.R beside this file.

/** Brownlee's stack loss (1960), in the order of its days. */
function stackLoss() {
  const table = dataTable('stackloss.csv')
  const [response = '', ...columns] = table.columns.map(({ name }) => quoted(name)).reverse()
  const answer = fitModel({ table, model: `${response} ~ ${columns.reverse().join(' + ')}` })
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  const order = Array.from({ length: 21 }, (_, i) => i + 1)
  return { table, fitted: answer.value.fitted, runs: { order, session: order.map(() => 'all') } }
}

test('stack loss: run 21 lies out farthest, not beyond chance of 21', () => {
  const { fitted } = stackLoss()
  const [first] = outlyingRuns(fitted)
  expect(first?.place).toBe(20)
  closeTo(first?.studentized, -3.330493319328, 1e-11)
  closeTo(first?.p, 0.088998841286564, 1e-9)
})

test('stack loss: slope along the order, and Durbin and Watson’s ratio', () => {
  const { fitted, table, runs } = stackLoss()
  const slope = orderSlope(fitted, table, runs)
  closeTo(slope?.perRun, -0.3779005409365, 1e-10)
  closeTo(slope?.p, 0.042330185743, 1e-9)
  closeTo(slope?.lower, -0.7410118002089, 1e-9)
  closeTo(slope?.upper, -0.0147892816642, 1e-8)
  closeTo(neighboursAlike(fitted, runs)?.statistic, 1.4851310343413, 1e-11)
})

test('oxide thickness: what each wafer adds in its lot, as nlme predicts it, and its error', () => {
  const answer = fitMixed({
    table: dataTable('oxide_thickness.csv'),
    model: 'thickness ~ 1',
    random: 'lot/wafer',
  })
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  const effects = visitEffects(answer.value.mixed)
  expect(effects).toHaveLength(24)
  // nlme stops at the variances to some seven digits.
  closeTo(effects[0]?.effect, 6.54599261, 1e-6)
  closeTo(effects[1]?.effect, -11.958939146, 1e-6)
  closeTo(effects[2]?.effect, 4.456726121, 1e-6)
  expect(effects[1]?.places).toEqual([3, 4, 5])
  // With the lot known, the mean of 3 sites at σ² = 12.5694 is weighed against 35.8657 between wafers.
  const [between, within] = [35.8657407407407, 12.5694444444444 / 3]
  closeTo(effects[0]?.standardError, Math.sqrt((between * within) / (between + within)), 1e-6)
  expect(effects[1]?.apart).toBe(true)
})
