import { describe, expect, test } from 'vitest'
import type { DesignSettings, Factor } from '../../../shared/contract/things.ts'
import { makePlan } from '../../../shared/design/make-plan.ts'
import { bake, bench, categorical, continuous, fullDesign, speed, time } from './examples.ts'

function planOf(factors: Factor[], change: Partial<DesignSettings>) {
  const answer = makePlan({ factors, design: fullDesign({ kind: 'space', ...change }), bench })
  if (!answer.ok) throw new Error(JSON.stringify(answer.problems))
  return answer.value
}

const square = [continuous('a'), continuous('b')]

/** The smallest squared distance between two runs, in steps of the hypercube. */
function closest(runs: { coded: Record<string, number | string> }[], names: string[]): number {
  const step = (runs.length - 1) / 2
  let least = Number.POSITIVE_INFINITY
  for (let i = 0; i < runs.length; i++)
    for (let j = 0; j < i; j++)
      least = Math.min(
        least,
        names.reduce(
          (sum, name) =>
            sum + (step * ((runs[i]!.coded[name] as number) - (runs[j]!.coded[name] as number))) ** 2,
          0,
        ),
      )
  return Math.round(least)
}

describe('a space-filling design', () => {
  test('takes every evenly spaced setting of each factor once, from end to end', () => {
    const plan = planOf([speed, time, continuous('ramp')], { runs: 11 })
    for (const name of ['speed', 'time', 'ramp']) {
      const values = plan.runs.map((run) => run.coded[name] as number).sort((a, b) => a - b)
      values.forEach((value, i) => {
        expect(value).toBeCloseTo(i / 5 - 1, 12)
      })
    }
  })

  // The largest smallest distance² of a Latin hypercube of two factors, over all n! of them.
  test.each([
    [4, 5],
    [5, 5],
    [6, 5],
    [7, 8],
    [8, 8],
  ])('of %i runs in two factors keeps them as far apart as can be', (runs, best) => {
    expect(closest(planOf(square, { runs }).runs, ['a', 'b'])).toBe(best)
  })

  test('is far better spread than chance in more factors', () => {
    const names = ['a', 'b', 'c', 'd']
    const plan = planOf(
      names.map((name) => continuous(name)),
      { runs: 30 },
    )
    // A random Latin hypercube of 30 runs in 4 factors has a median smallest distance² of about 40 (simulated).
    expect(closest(plan.runs, names)).toBeGreaterThan(120)
  })

  test('uses the settings that the tools have, the levels of a hard factor and all levels by name', () => {
    const plan = planOf([{ ...speed, step: 50 }, bake, categorical('lot', ['A', 'B'])], { runs: 12 })
    for (const run of plan.runs) expect((run.settings.speed as number) % 50).toBe(0)
    for (const level of [90, 100, 110])
      expect(plan.runs.filter((run) => run.settings.bake === level)).toHaveLength(4)
    expect(plan.runs.filter((run) => run.settings.lot === 'A')).toHaveLength(6)
    expect(new Set(plan.runs.map((run) => run.plateVisit)).size).toBe(3)
  })

  test('keeps away from runs already made', () => {
    const keep = [
      { a: -1, b: -1 },
      { a: 1, b: 1 },
    ]
    const plan = planOf(square, { runs: 6, keep })
    const made = plan.runs.filter((run) => run.kind === 'space')
    for (const run of made)
      for (const kept of keep)
        expect(
          Math.hypot((run.coded.a as number) - kept.a, (run.coded.b as number) - kept.b),
        ).toBeGreaterThan(0.5)
  })

  test('has ten runs a factor unless another number is asked for, the same for the same seed', () => {
    const plan = planOf(square, {})
    expect(plan.runs).toHaveLength(20)
    expect(planOf(square, {}).runs).toEqual(plan.runs)
    expect(planOf(square, { seed: 8 }).runs).not.toEqual(plan.runs)
  })
})
