import { describe, expect, test } from 'vitest'
import type { DesignSettings } from '../../../shared/contract/things.ts'
import { makePlan, planWithoutWays } from '../../../shared/design/make-plan.ts'
import { longestSession } from '../../../shared/process/timeline.ts'
import { bake, bench, fullDesign, speed, time } from './examples.ts'

const factors = [{ ...speed, levels: 3 }, time, bake]
const reference = { speed: 3000, time: 40, bake: 100 }

function planOf(
  change: Partial<DesignSettings>,
  slotHours: number | null,
  figures: Partial<typeof bench> = {},
  make = makePlan,
) {
  const design = fullDesign(change)
  const made = make({ factors, design, bench: { ...bench, ...figures, slotHours }, reference })
  if (!made.ok) throw new Error(JSON.stringify(made.problems))
  return made.value
}

describe('what to drop so that a plan fits', () => {
  const crowded = { replicates: 2, centre: 3, visits: 4, reference: true }

  test('names nothing where all fits or nothing is booked', () => {
    expect(planOf(crowded, null).waysToFit).toEqual([])
    expect(planOf(crowded, 12).waysToFit).toEqual([])
  })

  test.each([
    [5, crowded],
    [6.5, crowded],
    [2.5, { reading: 'meanwhile' as const }],
    [1.2, { kind: 'space' as const, runs: 8, centre: 1 }],
  ])('within %f h, each way of %j does what it says once it is applied', (hours, change) => {
    const plan = planOf(change, hours)
    expect(plan.waysToFit.length).toBeGreaterThan(1)
    for (const way of plan.waysToFit) {
      const applied = planOf({ ...change, ...way.design }, hours, way.study, planWithoutWays)
      const now = longestSession(applied.timeline)
      expect(longestSession(plan.timeline) - now, way.what).toBeCloseTo(way.saves, 6)
      expect(now <= 60 * hours, way.what).toBe(way.fits)
      expect(way.saves).toBeGreaterThan(0)
      expect(way.cost).toMatch(/[.]$/)
    }
  })

  test('puts what fits before what does not, and what tells as much before what tells less', () => {
    const { waysToFit } = planOf(crowded, 6.5)
    const fits = waysToFit.map((way) => way.fits)
    expect(fits).toEqual([...fits].sort((a, b) => Number(b) - Number(a)))
    expect(fits[0]).toBe(true)
    expect(waysToFit[0]?.cost).not.toContain('less sure')
  })

  test('says in numbers what fewer replicates cost', () => {
    const plan = planOf({ replicates: 2, visitOrder: 'cheapest', reading: 'later' }, 3)
    const way = plan.waysToFit.find((one) => one.what === 'Run the design once, not twice')
    const half = planOf({ replicates: 1, visitOrder: 'cheapest', reading: 'later' }, null)
    const wider =
      Math.sqrt(
        (half.evaluation.averagePredictionVariance as number) /
          (plan.evaluation.averagePredictionVariance as number),
      ) - 1
    expect(way?.cost).toContain(`Predictions get ${Math.round(100 * wider)} % less sure on average.`)
    // Half the runs, every other thing the same: the variance doubles.
    expect(Math.round(100 * wider)).toBe(41)
  })

  test('says what a further session takes, and where the bottle has not enough for it', () => {
    const change = { replicates: 2, reading: 'later' as const }
    const need = planOf(change, 3, {}, planWithoutWays).budget.resistMl
    const spread = (bottleMl: number | null) => {
      const ways = planOf(change, 3, { bottleMl }).waysToFit
      return { ways, way: ways.find(({ what }) => what === 'Spread the runs over 2 sessions') }
    }
    const two = planOf({ ...change, sessions: 2, blocks: 1 }, 3, {}, planWithoutWays).budget.resistMl
    expect(two).toBeGreaterThan(need)
    const { way: dry, ways } = spread(need)
    expect(dry?.cost).toContain('Takes 2 sessions, not 1.')
    expect(dry?.cost).toContain(`Needs ${two} mL of resist, now ${need}, and the bottle has ${need} mL.`)
    expect(spread(null).way?.cost).toContain(`Needs ${two} mL of resist, now ${need}.`)
    // Another number of visits than before is said where a way brings it.
    const visitsOf = (made: ReturnType<typeof planOf>) =>
      new Set(made.runs.map(({ plateVisit }) => plateVisit)).size
    const now = visitsOf(planOf(change, 3, {}, planWithoutWays))
    for (const way of ways) {
      const made = planOf({ ...change, ...way.design }, 3, way.study, planWithoutWays)
      expect(way.cost.includes('plate visit'), way.what).toBe(visitsOf(made) !== now)
    }
  })
})
