import { describe, expect, test } from 'vitest'
import { boxCox } from '../../../shared/model/box-cox.ts'
import type { Table } from '../../../shared/model/table.ts'
import { closeTo } from './close-to.ts'
import { dataTable, withColumn } from './data-table.ts'
import { fitOf } from './fitted.ts'

// Published data; powers and log-likelihoods with more digits than published were computed independently in R 4.2.2.

const poisons = withColumn(
  dataTable('box_cox_poisons.csv', { names: ['poison', 'antidote'] }),
  'survival',
  (cell) => cell('survival_10h_x100') / 100,
)

function profileOf(table: Table, model: string) {
  const answer = boxCox({ table, model })
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  return answer.value
}

describe('the power of the response under which a model fits best', () => {
  test.each([
    // Box & Cox, Journal of the Royal Statistical Society B 26 (1964): −0.75, interval (−1.13, −0.37)
    [
      'poisons, additive',
      poisons,
      'survival ~ poison + antidote',
      -0.75016251459,
      120.098599761,
      -1.13803453906,
      -0.356087139357,
    ],
    [
      'poisons, with interaction',
      poisons,
      'survival ~ poison * antidote',
      -0.815736190973,
      123.592710555,
      -1.29413961295,
      -0.341163165227,
    ],
    // Venables & Ripley, Modern Applied Statistics with S: −0.067
    [
      'trees in logarithms',
      dataTable('trees.csv'),
      'Volume ~ log(Height) + log(Girth)',
      -0.06731681036,
      -21.8181475575,
      -0.242435836865,
      0.109529359148,
    ],
    [
      'trees',
      dataTable('trees.csv'),
      'Volume ~ Height + Girth',
      0.306584828833,
      -22.8532624561,
      0.117638859486,
      0.492176836065,
    ],
    // Johnson & Wichern's radiation data, Handbook of Statistical Methods, section 6.5.2: about 0.28
    [
      'radiation',
      dataTable('johnson_wichern_radiation.csv'),
      'radiation ~ 1',
      0.275937288649,
      106.519231465,
      -0.0177868317929,
      0.586381245442,
    ],
  ])('%s', (_, table, model, lambda, logLikelihood, lower, upper) => {
    const profile = profileOf(table, model)
    expect(profile.lambda).toBeCloseTo(lambda, 6)
    closeTo(profile.logLikelihood, logLikelihood, 1e-11)
    expect(profile.lower).toBeCloseTo(lower, 9)
    expect(profile.upper).toBeCloseTo(upper, 9)
  })

  test('what function a model takes of its response plays no part', () => {
    const plain = profileOf(poisons, 'survival ~ poison + antidote')
    expect(profileOf(poisons, 'log(survival) ~ poison + antidote')).toEqual(plain)
  })

  test('with weights', () => {
    // box-cox.R: least squares of the scaled transform by lm.wfit, its maximum and ends by optimize and uniroot.
    const answer = boxCox({
      table: dataTable('trees.csv'),
      model: 'Volume ~ log(Height) + log(Girth)',
      weights: 'Height',
    })
    if (!answer.ok) throw new Error(answer.problems[0]?.message)
    expect(answer.value.lambda).toBeCloseTo(-0.06661333333, 6)
    closeTo(answer.value.logLikelihood, -89.4098920315034, 1e-11)
    expect(answer.value.lower).toBeCloseTo(-0.2473839764899, 8)
    expect(answer.value.upper).toBeCloseTo(0.1151224980438, 8)
  })

  test('the profile has its peak there', () => {
    const { profile, lambda } = profileOf(poisons, 'survival ~ poison + antidote')
    const best = profile.reduce((top, point) => (point.logLikelihood > top.logLikelihood ? point : top))
    expect(Math.abs(best.lambda - lambda)).toBeLessThan(0.1)
    expect(profile.map((point) => point.lambda)).toContain(0)
  })
})

test('poisons: the inverse makes the interaction vanish', () => {
  const raw = fitOf({ table: poisons, model: 'survival ~ poison * antidote' }).analysisOfVariance
  const expected = [1.0330125, 0.92120625, 0.2501375, 0.800725]
  expected.forEach((sum, i) => {
    closeTo(raw[i]?.sumOfSquares, sum, 1e-9)
  })
  closeTo(raw[2]?.f, 1.87433, 1e-5)
  const inverse = fitOf({ table: poisons, model: 'inverse(survival) ~ poison * antidote' }).analysisOfVariance
  const sums = [34.87711982, 20.41428935, 1.57077226, 8.64308307]
  sums.forEach((sum, i) => {
    closeTo(inverse[i]?.sumOfSquares, sum, 1e-8)
  })
  closeTo(inverse[2]?.p, 0.38673, 1e-5)
})

test.each([
  ['survival + poison', 'formula'],
  ['negative ~ poison', 'outsideDomain'],
])('%s has no profile', (model, code) => {
  const table = withColumn(poisons, 'negative', (cell) => cell('survival') - 1)
  expect(boxCox({ table, model })).toMatchObject({ ok: false, problems: [{ code }] })
})
