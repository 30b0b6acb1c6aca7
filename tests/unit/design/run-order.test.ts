import { describe, expect, test } from 'vitest'
import type { PlannedRun } from '../../../shared/contract/results/plan.ts'
import type { DesignSettings, Factor } from '../../../shared/contract/things.ts'
import { evenPlaces } from '../../../shared/design/centre-points.ts'
import { makePlan } from '../../../shared/design/make-plan.ts'
import { bake, bench, categorical, continuous, fullDesign, speed, time } from './examples.ts'

function planOf(factors: Factor[], change: Partial<DesignSettings> = {}) {
  const answer = makePlan({ factors, design: fullDesign(change), bench })
  if (!answer.ok) throw new Error(JSON.stringify(answer.problems))
  return answer.value
}

const visitsOf = (runs: PlannedRun[]) => {
  const visits: PlannedRun[][] = []
  for (const run of runs) {
    const last = visits.at(-1)
    if (last?.[0]?.plateVisit === run.plateVisit) last?.push(run)
    else visits.push([run])
  }
  return visits
}

describe('order without a hard factor', () => {
  const factors = [speed, time, continuous('ramp', { levels: 3 })]

  test('is a permutation of standard order, the same for the same seed', () => {
    const first = planOf(factors, { seed: 11 })
    expect(first.runs.map((run) => run.runOrder)).toEqual(first.runs.map((_, i) => i + 1))
    expect(first.runs.map((run) => run.standardOrder).sort((a, b) => a - b)).toEqual(
      Array.from({ length: 12 }, (_, i) => i + 1),
    )
    expect(planOf(factors, { seed: 11 })).toEqual(first)
    expect(planOf(factors, { seed: 12 }).runs).not.toEqual(first.runs)
  })

  test('puts every run into every place about equally often', () => {
    const times = Array.from({ length: 4 }, () => [0, 0, 0, 0])
    const draws = 800
    for (let seed = 0; seed < draws; seed++)
      planOf([speed, time], { seed }).runs.forEach((run, place) => {
        times[run.standardOrder - 1]![place]!++
      })
    // χ² of a fair shuffle over the 4 × 4 table has 9 degrees of freedom; 27.9 is passed once in 1000.
    const chiSquare = times.flat().reduce((sum, count) => sum + (count - draws / 4) ** 2 / (draws / 4), 0)
    expect(chiSquare).toBeLessThan(27.9)
  })

  test('has its centre points first, last and evenly between', () => {
    // Three centre points with 2³ stand at rows 1, 6 and 11 (NIST/SEMATECH e-Handbook, 5.3.3.7; from memory).
    const plan = planOf([speed, time, continuous('ramp')], { centre: 3 })
    const rows = plan.runs.filter((run) => run.kind === 'centre').map((run) => run.runOrder)
    expect(rows).toEqual([1, 6, 11])
    expect(plan.runs.filter((run) => run.kind === 'centre').map((run) => run.settings)).toEqual(
      rows.map(() => ({ speed: 3000, time: 40, ramp: 0 })),
    )
    expect(plan.orderInWords).toContain('first, last and evenly between')
  })

  test('spreads places evenly: gaps differ by one at most', () => {
    for (let length = 2; length < 40; length++)
      for (let count = 2; count <= length; count++) {
        const places = evenPlaces(count, length)
        expect([places[0], places.at(-1)]).toEqual([0, length - 1])
        const gaps = places.slice(1).map((place, i) => place - places[i]!)
        expect(Math.max(...gaps) - Math.min(...gaps)).toBeLessThanOrEqual(1)
      }
  })

  test('runs blocks one after another, each centre point in the block where it stands', () => {
    const plan = planOf([speed, time, continuous('ramp')], { replicates: 2, blocks: 2, centre: 4 })
    const blocks = plan.runs.map((run) => run.block)
    expect(blocks).toEqual([...blocks].sort())
    expect(plan.runs.filter((run) => run.kind === 'centre').map((run) => run.block)).toEqual([1, 1, 2, 2])
  })
})

describe('order with a hard plate', () => {
  test('makes one visit a level, in random order, random within', () => {
    const orders = new Set<string>()
    for (let seed = 0; seed < 60; seed++) {
      const plan = planOf([speed, time, bake], { seed })
      const visits = visitsOf(plan.runs)
      expect(visits.map((visit) => visit[0]?.plateVisit)).toEqual([1, 2, 3])
      for (const visit of visits) expect(new Set(visit.map((run) => run.settings.bake)).size).toBe(1)
      expect(plan.budget.plateChanges).toBe(2)
      orders.add(visits.map((visit) => visit[0]?.settings.bake).join())
    }
    expect(orders.size).toBe(6)
  })

  test('has the centre points first, last and evenly between within the visit at the middle level', () => {
    const plan = planOf([{ ...speed, levels: 3 }, time, bake], { centre: 3 })
    const middle = visitsOf(plan.runs).find((visit) => visit[0]?.settings.bake === 100)
    expect(middle?.map((run) => run.kind === 'centre')).toEqual(
      [true, false, false, false, true, false, false, false, true].map((is) => is),
    )
    expect(plan.runs.filter((run) => run.kind === 'centre')).toHaveLength(3)
    expect(plan.orderInWords).toContain('within the plate visits at the middle level')
    expect(plan.orderInWords).toContain('°C')
  })

  test('gives centre points visits of their own, first and last, where no run is at the middle', () => {
    const plan = planOf([speed, time, { ...bake, levels: 2 }], { centre: 4 })
    const visits = visitsOf(plan.runs)
    expect(visits.map((visit) => visit.map((run) => run.kind === 'centre'))).toEqual([
      [true, true],
      [false, false, false, false],
      [false, false, false, false],
      [true, true],
    ])
    expect(plan.orderInWords).toContain('visits of their own')
  })

  test('gives each block its own visits', () => {
    const plan = planOf([speed, time, bake], { replicates: 2, blocks: 2, centre: 2 })
    const visits = visitsOf(plan.runs)
    expect(visits.map((visit) => visit[0]?.block)).toEqual([1, 1, 1, 2, 2, 2])
    expect(visits.map((visit) => visit[0]?.plateVisit)).toEqual([1, 2, 3, 4, 5, 6])
    expect(plan.runs.filter((run) => run.kind === 'centre').map((run) => run.block)).toEqual([1, 2])
  })

  test('groups by the combinations of two hard factors', () => {
    const lot = categorical('lot', ['A', 'B'], { hardToChange: true })
    const plan = planOf([speed, lot, bake], { centre: 2 })
    expect(new Set(plan.runs.map((run) => run.plateVisit)).size).toBe(6)
    // Centre points go round the lots in turn.
    expect(
      plan.runs
        .filter((run) => run.kind === 'centre')
        .map((run) => run.settings.lot)
        .sort(),
    ).toEqual(['A', 'B'])
  })
})
