import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type FittedRobust, fitRobust, type RobustOptions } from '../../../shared/model/robust.ts'
import type { Table } from '../../../shared/model/table.ts'
import { seeded } from '../../../shared/random.ts'
import { fittedTo, someRuns, tableOf } from './some-runs.ts'

function robust(table: Table, options: Partial<RobustOptions> = {}): FittedRobust {
  const answer = fitRobust({ table, model: 'y ~ x', kind: 'bisquare', ...options })
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.message).join('\n'))
  return answer.value
}

const codes = (table: Table, options: Partial<RobustOptions> = {}) => {
  const answer = fitRobust({ table, model: 'y ~ x', kind: 'bisquare', ...options })
  return (answer.ok ? answer.value.problems : answer.problems).map(({ code }) => code)
}

/** Invented runs on a line of slope 2, some of them far off it. */
function line(seed: number, bad: number, runs = 20): Table {
  const random = seeded(seed)
  const x = Array.from({ length: runs }, (_, i) => i)
  const y = x.map((value, i) => 5 + 2 * value + random.normal() + (i < bad ? 200 : 0))
  return tableOf({ x, y })
}

describe.each(['huber', 'bisquare'] as const)('%s', (kind) => {
  test('does not care for row order, units and constants', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.integer({ min: 0, max: 3 }), (seed, bad) => {
        const table = line(seed, bad)
        const order = seeded(seed).shuffled(table.columns[0]?.values.map((_, i) => i) ?? [])
        const moved = tableOf({
          x: order.map((i) => 10 * (table.columns[0]?.values[i] as number) - 3),
          y: order.map((i) => 100 * (table.columns[1]?.values[i] as number) + 7),
        })
        const [a, b] = [robust(table, { kind }), robust(moved, { kind })]
        const slope = a.report().terms[1]
        expect(b.report().terms[1]?.estimate).toBeCloseTo(10 * (slope?.estimate ?? 0), 6)
        expect(b.report().terms[1]?.standardError).toBeCloseTo(10 * (slope?.standardError ?? 0), 6)
        order.forEach((i, place) => {
          expect(b.weights[place]?.weight).toBeCloseTo(a.weights[i]?.weight ?? 0, 7)
        })
      }),
      { numRuns: 10 },
    )
  })

  test('names the bad run', () => {
    const fit = robust(line(4, 1), { kind })
    const named = fit.problems.filter(({ code }) => code === 'downWeighted')
    expect(named[0]).toMatchObject({ row: 2 })
    expect(named[0]?.message).toMatch(
      /^Row 2 counts with weight 0\.0\d: it lies \d+\.\d times the scatter above/,
    )
    expect(Math.abs((fit.report().terms[1]?.estimate ?? 0) - 2)).toBeLessThan(0.2)
  })

  test('is least squares where no run is far off, in its limit', () => {
    // All residuals of one size: none beyond Huber’s bend, all of one weight.
    const table = tableOf({ x: [0, 0, 1, 1, 2, 2, 3, 3], y: [1, -1, 3, 1, 5, 3, 7, 5] })
    const [a, b] = [robust(table, { kind }), fittedTo(table, 'y ~ x')]
    expect(a.report().terms[1]?.estimate).toBeCloseTo(b.report().terms[1]?.estimate ?? 0, 12)
  })
})

test('the bisquare keeps the line with two fifths of bad runs; the same seed gives the same fit', () => {
  const table = line(9, 8)
  const slope = robust(table, { seed: 3 }).report().terms[1]?.estimate
  expect(Math.abs((slope ?? 0) - 2)).toBeLessThan(0.3)
  expect(robust(table, { seed: 3 }).report()).toEqual(robust(table, { seed: 3 }).report())
  expect(robust(table, { seed: 4 }).report().terms[1]?.estimate).toBeCloseTo(slope ?? 0, 9)
})

describe('where a robust fit cannot say much', () => {
  test('too few runs', () => {
    expect(codes(line(2, 0, 5))).toContain('tooFewRuns')
    expect(codes(line(2, 0, 20))).not.toContain('tooFewRuns')
    // Seven runs for two terms, of which two count for nothing.
    expect(codes(line(2, 2, 7))).toContain('tooFewRuns')
  })

  test('no scatter, or none in half of the runs', () => {
    expect(codes(tableOf({ x: [1, 2, 3, 4, 5], y: [1, 2, 3, 4, 5] }))).toEqual(['exactFit'])
    const half = tableOf({ x: [1, 2, 3, 4, 5, 6, 7], y: [1, 2, 3, 4, 5, 6, 99] })
    expect(codes(half)).toEqual(['exactFit'])
    expect(codes(half, { kind: 'huber' })).toEqual(['exactFit'])
    expect(codes(tableOf({ x: [1, 2], y: [1, 5] }))).toEqual(['noDegreesOfFreedom'])
  })

  test('predictions come back in the measured unit, and name a level that is not there', () => {
    const fit = robust(someRuns, { model: 'log(thickness) ~ log(speed) + lot', kind: 'huber' })
    const report = fit.report([
      { speed: 3000, lot: 'A' },
      { speed: 3000, lot: 'X' },
    ])
    const [prediction] = report.predictions
    expect(prediction?.estimate).toBeGreaterThan(1400)
    expect(prediction?.estimate).toBeLessThan(1700)
    expect(prediction?.prediction[0]).toBeLessThan(prediction?.confidence[0] ?? 0)
    expect(report.problems.at(-1)).toMatchObject({ code: 'unknownLevel', column: 'lot' })
  })
})
