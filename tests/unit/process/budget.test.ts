import { describe, expect, test } from 'vitest'
import { type BenchFigures, budgetOf } from '../../../shared/process/budget.ts'
import { bench } from '../design/examples.ts'

const runsAt = (temperatures: (number | null)[], each = 1) =>
  temperatures.flatMap((plateTemperature) => Array.from({ length: each }, () => ({ plateTemperature })))

describe('waiting for the plate', () => {
  // Computed from the stated rates (heat 6 °C/min, cool 1.5 °C/min, soak 10 min): common practice, no source.
  test.each([
    [[90, 100, 110], 6, 23, 2],
    [[100, 90, 110, 100], 4, 47, 3],
    [[110, 100, 90], 6, 33, 2],
  ])('for visits at %j takes the minutes of the rates', (visits, each, minutes, changes) => {
    const budget = budgetOf({ runs: runsAt(visits, each), bench })
    expect(Math.round(budget.plateMinutes)).toBe(minutes)
    expect(budget.plateChanges).toBe(changes)
  })

  test('says how the plate is found when a session begins', () => {
    const said = (change: Partial<BenchFigures>) =>
      budgetOf({ runs: runsAt([90, 100]), bench: { ...bench, ...change } }).assumptions.join(' ')
    expect(said({})).toContain('set before the session begins')
    expect(said({ plateAtStart: 21 })).toContain('at 21 °C when the session begins')
  })

  test('is not there without a bake factor, nor counted without a plate', () => {
    expect(budgetOf({ runs: runsAt([null, null]), bench })).toMatchObject({
      plateChanges: null,
      plateMinutes: 0,
    })
    const without = budgetOf({ runs: runsAt([90, 100]), bench: { ...bench, hotPlate: null } })
    expect(without).toMatchObject({ plateChanges: null, plateMinutes: 0 })
    expect(without.assumptions.join(' ')).toContain('No hot plate')
  })

  test('takes the held temperature for a run that sets none', () => {
    expect(budgetOf({ runs: runsAt([90, null, 110]), bench }).plateMinutes).toBeCloseTo(20 + 20 / 6, 9)
  })
})

test('counts substrates, resist and minutes', () => {
  const budget = budgetOf({ runs: runsAt([null], 18), bench })
  expect(budget.substrates).toBe(18 + 2 + 5)
  expect(budget.resistMl).toBe(20 * 3.5 + 15)
  expect(budget.minutes).toBe(20 * 6 + 18 * 4)
  expect(budgetOf({ runs: [], bench: { ...bench, dummies: 0, spares: 0 } })).toMatchObject({
    substrates: 0,
    resistMl: 15,
    minutes: 0,
  })
})

test('sums tenths without binary noise', () => {
  const budget = budgetOf({
    runs: runsAt([null], 3),
    bench: { ...bench, coatMl: 0.1, purgeMl: 0, dummies: 0 },
  })
  expect(budget.resistMl).toBe(0.3)
})
