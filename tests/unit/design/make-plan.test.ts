import { describe, expect, test } from 'vitest'
import { plan as planSchema } from '../../../shared/contract/results/plan.ts'
import type { DesignSettings, Factor } from '../../../shared/contract/things.ts'
import { makePlan } from '../../../shared/design/make-plan.ts'
import { bake, bench, categorical, continuous, fullDesign, speed, time } from './examples.ts'

const made = (factors: Factor[], change: Partial<DesignSettings> = {}, model?: string) =>
  makePlan({ factors, design: fullDesign(change), bench, ...(model === undefined ? {} : { model }) })

const problemsOf = (...args: Parameters<typeof made>) => {
  const answer = made(...args)
  return answer.ok ? [] : answer.problems
}

const planOf = (...args: Parameters<typeof made>) => {
  const answer = made(...args)
  if (!answer.ok) throw new Error(JSON.stringify(answer.problems))
  return answer.value
}

describe('a plan', () => {
  test('has the shape that the contract promises', () => {
    const plan = planOf([speed, time, bake, categorical('lot', ['A', 'B'])], {
      centre: 3,
      blocks: 2,
      replicates: 2,
    })
    expect(planSchema.parse(plan)).toEqual(plan)
  })

  test('of speed × time × bake, 3 × 2 × 3, has 18 runs and the usual model', () => {
    const plan = planOf([{ ...speed, levels: 3 }, time, bake])
    expect(plan.runs).toHaveLength(18)
    expect(plan.evaluation.terms).toEqual([
      'constant',
      'speed',
      'time',
      'bake',
      'speed.time',
      'speed.bake',
      'time.bake',
      'speed^2',
      'bake^2',
    ])
    expect(plan.evaluation.aliases).toEqual([])
    expect(plan.evaluation.residualDf).toBe(9)
    expect(plan.evaluation.pureErrorDf).toBe(0)
    expect(plan.budget.substrates).toBe(25)
  })

  test('tests bake against the visits: with one visit a level nothing is left to test it', () => {
    const effects = planOf([{ ...speed, levels: 3 }, time, bake]).evaluation.smallestDetectable
    expect(
      effects.filter((one) => one.stratum === 'plateVisit').map(({ term, effect }) => [term, effect]),
    ).toEqual([
      ['bake', null],
      ['bake^2', null],
    ])
    expect(effects.filter((one) => one.stratum === 'run').every((one) => (one.effect ?? 0) > 0)).toBe(true)
  })

  test('takes another model, and says what would be mistaken for its terms', () => {
    const plan = planOf([speed, { ...time, levels: 3 }], {}, 'speed + time')
    expect(plan.evaluation.terms).toEqual(['constant', 'speed', 'time'])
    // The mean of time² over its three levels is 2/3: the constant takes it in.
    const mixed = plan.evaluation.aliases
    expect(mixed.map((alias) => alias.term)).toEqual(['constant'])
    expect(mixed[0]?.with[0]?.term).toBe('time^2')
    expect(mixed[0]?.with[0]?.coefficient).toBeCloseTo(2 / 3, 12)
  })

  test('names terms that its runs cannot tell, without a NaN', () => {
    const plan = planOf([speed, time], { centre: 2 }, 'speed*time + speed^2 + time^2')
    expect(plan.evaluation.dEfficiency).toBe(0)
    expect(plan.evaluation.averagePredictionVariance).toBeNull()
    expect(plan.evaluation.aliases).toEqual([{ term: 'speed^2', with: [{ term: 'time^2', coefficient: 1 }] }])
    expect(plan.evaluation.smallestDetectable.find((one) => one.term === 'time^2')?.effect).toBeNull()
    expect(JSON.stringify(plan)).not.toContain('NaN')
  })

  test('keeps every coded value inside −1…+1 and equal to that of its rounded setting', () => {
    const plan = planOf([
      { ...speed, levels: 5, step: 50 },
      continuous('time', { low: 20, high: 61, step: 4, levels: 4 }),
    ])
    for (const run of plan.runs)
      for (const coded of Object.values(run.coded)) expect(Math.abs(coded as number)).toBeLessThanOrEqual(1)
    expect(new Set(plan.runs.map((run) => run.settings.time))).toEqual(new Set([20, 32, 48, 60]))
  })

  test('lists the model’s columns of a factor with levels by name', () => {
    const plan = planOf([speed, categorical('lot', ['A', 'B', 'C'])])
    expect(plan.evaluation.terms).toEqual([
      'constant',
      'speed',
      'lot[B]',
      'lot[C]',
      'speed.lot[B]',
      'speed.lot[C]',
    ])
  })
})

describe('a plan is refused', () => {
  test('above 500 runs, with the number', () => {
    const six = [1, 2, 3, 4, 5, 6].map((i) => continuous(`x${i}`, { levels: 3 }))
    const [problem] = problemsOf(six)
    expect(problem?.code).toBe('tooManyRuns')
    expect(problem?.message).toContain('729')
    expect(problemsOf(six.slice(0, 5), { replicates: 2, centre: 14 })).toEqual([])
    expect(problemsOf(six.slice(0, 5), { replicates: 2, centre: 15 })[0]?.message).toContain('501')
  })

  test('with centre points where nothing has a middle', () => {
    expect(problemsOf([categorical('lot', ['A', 'B'])], { centre: 1 })[0]).toMatchObject({
      code: 'noCentre',
      column: 'centre',
    })
  })

  test('with more blocks than its runs fill', () => {
    expect(problemsOf([speed, time], { blocks: 3 })[0]).toMatchObject({
      code: 'tooManyBlocks',
      column: 'blocks',
    })
  })

  test('with a model that names no factor, or holds a function', () => {
    expect(problemsOf([speed, time], {}, 'speed + warmth')[0]).toMatchObject({
      code: 'unknownFactor',
      column: 'model',
    })
    expect(problemsOf([speed, time], {}, 'log(speed)')[0]).toMatchObject({
      code: 'functionInPlan',
      column: 'model',
    })
    expect(problemsOf([speed, time], {}, '0 + speed')[0]).toMatchObject({
      code: 'noConstant',
      column: 'model',
    })
  })
})
