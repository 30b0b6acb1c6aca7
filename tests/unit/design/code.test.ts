import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { fromCoded, gridOf, roundToStep, settle, toCoded } from '../../../shared/design/code.ts'
import { categorical, continuous, speed } from './examples.ts'

describe('coding', () => {
  test('runs from −1 at the low end to +1 at the high end', () => {
    const time = continuous('time', { low: 20, high: 60 })
    expect([20, 40, 50, 60].map((value) => toCoded(time, value))).toEqual([-1, 0, 0.5, 1])
    expect([-1, 0, 0.5, 1].map((coded) => fromCoded(time, coded))).toEqual([20, 40, 50, 60])
  })

  test('puts the middle of a log scale at the geometric mean', () => {
    expect(fromCoded(speed, 0)).toBe(3000)
    expect(toCoded(speed, 3000)).toBeCloseTo(0, 14)
  })

  test('comes back where it started, on both scales', () => {
    const range = fc.tuple(
      fc.double({ min: 0.01, max: 1e4, noNaN: true }),
      fc.double({ min: 1.01, max: 100, noNaN: true }),
    )
    fc.assert(
      fc.property(
        range,
        fc.double({ min: -1, max: 1, noNaN: true }),
        fc.boolean(),
        ([low, times], coded, log) => {
          const factor = continuous('x', { low, high: low * times, scale: log ? 'log' : 'linear' })
          expect(toCoded(factor, fromCoded(factor, coded))).toBeCloseTo(coded, 6)
        },
      ),
    )
  })
})

describe('rounding to the step', () => {
  test('counts steps from the low end and leaves no binary noise', () => {
    const x = continuous('x', { low: 0.1, high: 0.7, step: 0.1 })
    expect(roundToStep(x, 0.31)).toBe(0.3)
    expect(roundToStep(continuous('x', { low: 2050, high: 4500, step: 100 }), 3000)).toBe(2950 + 100)
  })

  test('never leaves the range, even where the range is no whole number of steps', () => {
    const x = continuous('x', { low: 0, high: 10, step: 3 })
    expect(roundToStep(x, 10)).toBe(9)
    expect(settle(x, 1)).toEqual({ setting: 9, coded: 0.8 })
    expect(roundToStep(x, 999)).toBe(9)
  })

  test('gives the coded value of the rounded setting', () => {
    const x = continuous('speed', { low: 2000, high: 4500, scale: 'log', step: 100, levels: 4 })
    const settled = gridOf(x).map((coded) => settle(x, coded))
    expect(settled.map(({ setting }) => setting)).toEqual([2000, 2600, 3400, 4500])
    for (const { setting, coded } of settled) {
      expect(coded).toBe(toCoded(x, setting as number))
      expect(Math.abs(coded as number)).toBeLessThanOrEqual(1)
    }
  })

  test('leaves levels by name as they are', () => {
    expect(gridOf(categorical('lot', ['A', 'B']))).toEqual(['A', 'B'])
    expect(settle(categorical('lot', ['A', 'B']), 'B')).toEqual({ setting: 'B', coded: 'B' })
  })
})
