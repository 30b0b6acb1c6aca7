import { describe, expect, test } from 'vitest'
import { outlyingRuns, outlyingSize } from '../../../../shared/model/doubts/outlying-runs.ts'
import { recordedCauses } from '../../../../shared/model/doubts/recorded-causes.ts'
import { neighboursAlike, orderSlope } from '../../../../shared/model/doubts/run-order.ts'
import { fitModel } from '../../../../shared/model/fit.ts'
import type { Table } from '../../../../shared/model/table.ts'
import { seeded } from '../../../../shared/random.ts'

/** Two sessions of nine runs at three speeds, in an order drawn anew, whose log thickness follows the model with normal scatter. */
function study(seed: number, disturb: (y: number, run: number) => number = (y) => y) {
  const random = seeded(seed)
  const speeds = [2000, 2000, 2000, 3000, 3000, 3000, 4500, 4500, 4500]
  const speed = [...random.shuffled(speeds), ...random.shuffled(speeds)]
  const session = speed.map((_, i) => (i < 9 ? 'day 1' : 'day 2'))
  const thickness = speed.map((rpm, i) =>
    Math.exp(disturb(11.5 - 0.5 * Math.log(rpm) + (i < 9 ? 0 : 0.01) + 0.004 * random.normal(), i)),
  )
  const table: Table = {
    rows: 18,
    columns: [
      { name: 'speed', values: speed },
      { name: 'session', values: session },
      { name: 'thickness', values: thickness },
    ],
  }
  const answer = fitModel({ table, model: 'log(thickness) ~ log(speed) + session' })
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  return { table, fitted: answer.value.fitted, random, runs: { order: speed.map((_, i) => i + 1), session } }
}

/** Share of p below a bound, with 4 standard deviations of a count around the bound. */
function expectUniform(ps: readonly number[], bounds: readonly number[]) {
  for (const bound of bounds) {
    const share = ps.filter((p) => p <= bound).length / ps.length
    const reach = 4 * Math.sqrt((bound * (1 - bound)) / ps.length)
    expect(share, `p ≤ ${bound}`).toBeGreaterThan(bound - reach)
    expect(share, `p ≤ ${bound}`).toBeLessThan(bound + reach)
  }
}

const many = (count: number) => Array.from({ length: count }, (_, i) => i + 1)

describe('without anything wrong', () => {
  test('a run is called outlying in no more than 5 of 100 studies, and in not many fewer', () => {
    const named = many(1000).filter((seed) => outlyingRuns(study(seed).fitted)[0]!.p < outlyingSize).length
    // Bonferroni's bound is hardly wide: within 4 standard deviations of 50 in 1000.
    expect(named).toBeLessThan(50 + 4 * Math.sqrt(47.5))
    expect(named).toBeGreaterThan(50 - 4 * Math.sqrt(47.5))
  })

  test('the chance of a slope along run order, and of neighbours alike, is uniform', () => {
    const slopes = many(600).map((seed) => {
      const { fitted, table, runs } = study(seed)
      return orderSlope(fitted, table, runs)!.p
    })
    expectUniform(slopes, [0.05, 0.2, 0.5, 0.8])
    const alike = many(150).map((seed) => {
      const { fitted, runs } = study(seed)
      return neighboursAlike(fitted, runs)!.p
    })
    expectUniform(alike, [0.1, 0.3, 0.5, 0.8])
  })

  test('the chance of the best of six pure noise records is uniform, though it explains much', () => {
    const found = many(150).map((seed) => {
      const { fitted, runs, random } = study(seed)
      const recorded = many(6).map((k) => ({
        name: `noise ${k}`,
        values: runs.order.map(() => random.normal()),
      }))
      return recordedCauses(fitted, recorded, runs, random)!
    })
    expectUniform(
      found.map(({ p }) => p),
      [0.05, 0.2, 0.5, 0.8],
    )
    const best = found.map(({ explained }) => explained[0]!.share).sort((a, b) => a - b)
    expect(best[75]).toBeGreaterThan(0.1)
  })
})

describe('what is wrong is found', () => {
  test('a run 4 % off', () => {
    const { fitted } = study(5, (y, run) => y + (run === 11 ? 0.04 : 0))
    const [first] = outlyingRuns(fitted)
    expect(first!.place).toBe(11)
    expect(first!.p).toBeLessThan(0.01)
    const off = fitted.frame.response[11]! - first!.expected
    expect(Math.abs(off - 0.04)).toBeLessThan(0.015)
  })

  test('a drift of 0.3 % a run, as slope and as neighbours alike', () => {
    const { fitted, table, runs } = study(7, (y, run) => y + 0.003 * (run % 9))
    const slope = orderSlope(fitted, table, runs)!
    expect(slope.p).toBeLessThan(0.001)
    expect(slope.lower).toBeLessThan(0.003)
    expect(slope.upper).toBeGreaterThan(0.003)
    expect(neighboursAlike(fitted, runs)!.p).toBeLessThan(0.05)
  })

  test('a humidity that drives the film, recorded with gaps; one value a session takes no part', () => {
    const noise = seeded(99)
    const humidity = many(18).map(() => 45 + 2 * noise.normal())
    const { fitted, runs } = study(3, (y, run) => y - 0.004 * (humidity[run]! - 45))
    const result = recordedCauses(
      fitted,
      [
        { name: 'humidity', values: humidity.map((value, i) => (i === 4 ? null : value)) },
        { name: 'noise', values: many(18).map(() => noise.normal()) },
        { name: 'room temperature', values: runs.session.map((name) => (name === 'day 1' ? 21 : 22)) },
      ],
      runs,
    )!
    expect(result.explained[0]).toMatchObject({ name: 'humidity', missing: 1 })
    expect(result.explained[0]!.share).toBeGreaterThan(0.5)
    expect(result.p).toBeLessThan(0.01)
    expect(result.tried).toBe(2)
  })
})
