import fc from 'fast-check'
import { expect, test } from 'vitest'
import { cheapestOrder, visitCost } from '../../../shared/design/cheapest-visits.ts'
import { makePlan } from '../../../shared/design/make-plan.ts'
import type { Visit } from '../../../shared/design/visits.ts'
import { bake, bench, categorical, fullDesign, speed, time } from './examples.ts'

const visitAt = (temperature: number): Visit => ({
  block: 1,
  key: JSON.stringify([temperature]),
  runs: [],
  centres: [],
})
const cost = visitCost([bake], bench)

function permutations<T>(items: readonly T[]): T[][] {
  if (items.length === 0) return [[]]
  return items.flatMap((item, i) =>
    permutations(items.filter((_, j) => j !== i)).map((rest) => [item, ...rest]),
  )
}

test('no order of the visits waits less', () => {
  fc.assert(
    fc.property(
      fc.uniqueArray(fc.integer({ min: 80, max: 130 }), { minLength: 1, maxLength: 6 }),
      fc.option(fc.integer({ min: 80, max: 130 }), { nil: undefined }),
      fc.boolean(),
      (temperatures, reference, again) => {
        const key = reference === undefined ? undefined : JSON.stringify([reference])
        // One visit that is held first and last, at a setting that no other has.
        const held = again ? [visitAt(200), visitAt(200)] : []
        const visits = temperatures.map(visitAt)
        const last = visits.length + held.length - 1
        const fixed = new Map(held.map((visit, i) => [i === 0 ? 0 : last, visit]))
        const waitOf = (order: readonly Visit[]) => {
          const keys = [key, ...order.map((visit) => visit.key), key].filter((one) => one !== undefined)
          return keys.reduce((sum, one, i) => sum + (i === 0 ? 0 : cost(keys[i - 1] as string, one)), 0)
        }
        const order = cheapestOrder({ visits, fixed, cost, before: key, after: key })
        expect(order.length).toBe(last + 1)
        expect(new Set(order).size).toBe(last + 1)
        for (const [place, visit] of fixed) expect(order[place]).toBe(visit)
        const all = permutations(visits).map((free) => (again ? [held[0]!, ...free, held[1]!] : free))
        expect(waitOf(order)).toBeCloseTo(Math.min(...all.map(waitOf)), 9)
      },
    ),
    { numRuns: 60, seed: 8 },
  )
})

test('with more visits than can be compared, the nearest comes next and none is lost', () => {
  const visits = Array.from({ length: 16 }, (_, i) => visitAt(80 + ((i * 7) % 16)))
  const order = cheapestOrder({ visits, fixed: new Map(), cost, before: '[80]', after: undefined })
  expect(order.map(({ key }) => key)).toEqual(visits.map(({ key }) => key).sort())
})

test('a plan goes upward, since cooling is what takes long, and says what that risks', () => {
  const made = makePlan({
    factors: [speed, time, bake],
    design: fullDesign({ visitOrder: 'cheapest' }),
    bench,
  })
  if (!made.ok) throw new Error(JSON.stringify(made.problems))
  const temperatures = [...new Set(made.value.runs.map((run) => run.settings.bake))]
  expect(temperatures).toEqual([90, 100, 110])
  // Two steps of 10 °C at 6 °C/min, two soaks of 10 min.
  expect(made.value.budget.plateMinutes).toBeCloseTo(23 + 1 / 3, 9)
  expect(made.value.orderInWords).toContain('a steady drift may look like an effect of bake')
  // 12 runs, 4 at each temperature: the mean over all orders (see random-order.test.ts) less that.
  const pairs = (2 * (10 + 10 / 6) + (10 + 20 / 6) + 2 * (10 + 10 / 1.5) + (10 + 20 / 1.5)) * 16
  expect(made.value.minutesSaved).toBeCloseTo((11 * pairs) / (12 * 11) - (23 + 1 / 3), 9)
})

test('a hard factor that is no plate is changed as seldom as can be', () => {
  const lot = categorical('lot', ['A', 'B'], { hardToChange: true })
  const made = makePlan({
    factors: [speed, lot, bake],
    design: fullDesign({ visitOrder: 'cheapest' }),
    bench,
  })
  if (!made.ok) throw new Error(JSON.stringify(made.problems))
  const changes = made.value.runs.filter(
    (run, i, all) => i > 0 && run.settings.lot !== all[i - 1]?.settings.lot,
  )
  expect(made.value.budget.plateChanges).toBe(2)
  expect(changes).toHaveLength(3)
})
