import { describe, expect, test } from 'vitest'
import type { Settings } from '../../../shared/contract/things.ts'
import { variancesOf } from '../../../shared/model/mixed-fit.ts'
import { fitOverDays } from '../../../shared/model/over-days.ts'
import { type BatchOptions, findBatch } from '../../../shared/next/batch.ts'
import { knowledgeOf } from '../../../shared/next/knowledge.ts'
import { minutesLeft } from '../../../shared/next/minutes-left.ts'
import { plateOrder } from '../../../shared/next/plate-order.ts'
import { predictorOf } from '../../../shared/next/predictor.ts'
import { axesOf } from '../../../shared/next/region.ts'
import { regionAverage } from '../../../shared/next/region-average.ts'
import { practically } from '../../../shared/next/work.ts'
import { seeded } from '../../../shared/random.ts'
import { continuous } from '../../engine/studies-for-tests.ts'

type Row = { session: string; plateVisit: string; speed: number; bake: number; thickness: number }

/** Films of three days at two plate settings each. Invented. */
function films(): Row[] {
  const random = seeded(4)
  return ['day 0', 'day 1', 'day 2'].flatMap((session, s) => {
    const ofDay = 0.006 * random.normal()
    return [95, 105].flatMap((bake) => {
      const ofVisit = 0.003 * random.normal()
      return [2200, 2900, 3600].map((speed) => ({
        session,
        plateVisit: `${s} ${bake}`,
        speed,
        bake,
        thickness:
          1500 *
          (speed / 3000) ** -0.5 *
          Math.exp(-0.003 * (bake - 100) + ofDay + ofVisit + 0.003 * random.normal()),
      }))
    })
  })
}

const rows = films()
const names = ['session', 'plateVisit', 'speed', 'bake', 'thickness'] as const
const table = {
  columns: names.map((name) => ({ name, values: rows.map((row) => row[name]) })),
  rows: rows.length,
}
const answer = fitOverDays({ table, model: 'log(thickness) ~ log(speed) + bake', thickness: true })
if (!answer.ok || !('strata' in answer.value)) throw new Error('no fit over days')
const fit = answer.value
const region = [
  { ...continuous('speed', 'speed', 'rpm', [2000, 4000], 3), step: 50 },
  { ...continuous('bake', 'bake temperature', '°C', [90, 110], 3), step: 5 },
]
const found = predictorOf(fit)
if (!found.ok) throw new Error('no predictor')
const predictor = found.value
const average = regionAverage({ predictor, axes: axesOf(region), seed: 1 })

const costAfter =
  (last: Settings = { bake: 105 }) =>
  ({ bake }: Settings) => ({
    minutes: bake === last.bake ? 10 : 30,
    resistMl: 3,
    plateChange: bake !== last.bake,
  })
const options: BatchOptions = {
  model: fit,
  region,
  target: 1500,
  tolerance: 60,
  tested: rows.map(({ speed, bake }) => ({ speed, bake })),
  aim: 'learn',
  count: 4,
  minutesLeft: null,
  costAfter,
  plateOf: ({ bake }) => bake as number,
  plateNow: 105,
}
function batchOf(more: Partial<BatchOptions> = {}) {
  const batch = findBatch({ ...options, ...more })
  if (!batch.ok) throw new Error(batch.problems[0]?.message)
  return batch.value
}

/** Variance left over the region after all of these. */
function left(settings: readonly Settings[]): number {
  const knowledge = knowledgeOf(average)
  for (const each of settings) knowledge.take(predictor.here(each)!, String(each.bake))
  return knowledge.variance()
}

/** By Gauss and Jordan, for a check with no code of the program's own. */
function inverse(a: number[][]): number[][] {
  const n = a.length
  const m = a.map((row, i) => [...row, ...row.map((_, j) => Number(i === j))])
  for (let i = 0; i < n; i++) {
    const pivot = m[i]![i]!
    m[i] = m[i]!.map((value) => value / pivot)
    for (let r = 0; r < n; r++) {
      const factor = m[r]![i]!
      if (r !== i) m[r] = m[r]!.map((value, k) => value - factor * m[i]![k]!)
    }
  }
  return m.map((row) => row.slice(n))
}

describe('what is known after a batch', () => {
  const [day, visit, own] = variancesOf(fit.mixed) as [number, number, number]
  const row = ({ speed, bake }: Settings) => [1, Math.log(speed as number), bake as number]

  /** Variance of the mean at a setting by (X′V⁻¹X)⁻¹, V written out. */
  function writtenOut(made: readonly Settings[], asked: Settings): number {
    const all = [
      ...rows,
      ...made.map((each) => ({ ...each, session: 'day 2', plateVisit: `new ${each.bake}` }) as Row),
    ]
    const w = inverse(
      all.map((a, i) =>
        all.map(
          (b, j) =>
            day * Number(a.session === b.session) +
            visit * Number(a.session === b.session && a.plateVisit === b.plateVisit) +
            own * Number(i === j),
        ),
      ),
    )
    const x = all.map(row)
    const c = inverse(
      [0, 1, 2].map((a) =>
        [0, 1, 2].map((b) =>
          x.reduce((sum, xi, i) => sum + xi[a]! * x.reduce((s, xj, j) => s + w[i]![j]! * xj[b]!, 0), 0),
        ),
      ),
    )
    const at = row(asked)
    return at.reduce((sum, xa, a) => sum + at.reduce((s, xb, b) => s + xa * c[a]![b]! * xb, 0), 0)
  }

  test('equals a fit of all of them with V written out, run by run', () => {
    const asked = { speed: 4000, bake: 90 }
    const whitened = predictor.at(asked)!.whitened
    // An “average” over one setting.
    const moments = Array.from(whitened, (a) => Array.from(whitened, (b) => a * b))
    const single = { ...average, moments, variance: predictor.at(asked)!.variance }
    const knowledge = knowledgeOf(single)
    const made: Settings[] = []
    expect(knowledge.variance() / writtenOut([], asked)).toBeCloseTo(1, 6)
    for (const settings of [
      { speed: 2000, bake: 110 },
      { speed: 4000, bake: 90 },
      { speed: 2000, bake: 90 },
      { speed: 4000, bake: 90 },
      { speed: 3000, bake: 110 },
    ]) {
      const run = predictor.here(settings)!
      const expected = knowledge.variance() - knowledge.reduction(run, String(settings.bake))
      knowledge.take(run, String(settings.bake))
      made.push(settings)
      expect(knowledge.variance()).toBeCloseTo(expected, 15)
      expect(knowledge.variance() / writtenOut(made, asked)).toBeCloseTo(1, 6)
    }
  })

  test('the first run of a batch teaches what it does by itself', () => {
    const run = predictor.here({ speed: 2000, bake: 90 })!
    expect(knowledgeOf(average).reduction(run, '90')).toBeCloseTo(average.reduction(run), 15)
  })
})

describe('a batch', () => {
  const taken = (settings: readonly Settings[]) => average.variance - left(settings)

  test.each([2, 3, 4, 6])(
    'of %i runs teaches practically as much as the best of 200 drawn by chance',
    (count) => {
      const random = seeded(8)
      const pick = (low: number, step: number, steps: number) =>
        low + step * Math.floor(random.uniform() * (steps + 1))
      const drawn = Array.from({ length: 200 }, () =>
        taken(Array.from({ length: count }, () => ({ speed: pick(2000, 50, 40), bake: pick(90, 5, 4) }))),
      )
      const { choices } = batchOf({ count })
      expect(choices).toHaveLength(count)
      // Up to 2 % of what a run teaches is given up where that spares the plate or time.
      expect(taken(choices.map(({ settings }) => settings))).toBeGreaterThanOrEqual(
        (1 - practically) * Math.max(...drawn),
      )
    },
  )

  test.each([2, 3, 4, 6])('of %i runs has none for which another would teach practically more', (count) => {
    const made = batchOf({ count }).choices.map(({ settings }) => settings)
    const all = Array.from({ length: 41 * 5 }, (_, i) => ({
      speed: 2000 + 50 * (i % 41),
      bake: 90 + 5 * Math.floor(i / 41),
    }))
    for (const i of made.keys()) {
      const others = made.filter((_, k) => k !== i)
      const own = taken(made) - taken(others)
      const best = Math.max(...all.map((other) => taken([...others, other]) - taken(others)))
      expect(own, `run ${i + 1}`).toBeGreaterThanOrEqual((1 - practically) * best - 1e-6 * left(made))
    }
  })

  test('changes the plate as few times as it has settings other than the present one', () => {
    const { choices, plateChanges, minutes, resistMl } = batchOf()
    const plates = choices.map(({ settings }) => settings.bake)
    expect(plateChanges).toBe(new Set(plates.filter((plate) => plate !== 105)).size)
    expect(minutes).toBe(choices.reduce((sum, { cost }) => sum + cost.minutes, 0))
    expect(resistMl).toBe(12)
  })

  test('fits what is left of the slot, and says that there are fewer', () => {
    const { choices, minutes, problems } = batchOf({ minutesLeft: 45 })
    expect(minutes).toBeLessThanOrEqual(45)
    expect(choices.length).toBeGreaterThan(0)
    expect(choices.length).toBeLessThan(4)
    expect(problems).toMatchObject([{ code: 'fewerRuns' }])
    expect(batchOf({ minutesLeft: 5 }).choices).toEqual([])
  })

  test('to reach the target its runs lie apart, all predicted in tolerance', () => {
    const { choices } = batchOf({ aim: 'reach', count: 3 })
    expect(choices).toHaveLength(3)
    for (const [i, { estimate, settings }] of choices.entries()) {
      expect(Math.abs(estimate - 1500)).toBeLessThanOrEqual(60)
      for (const other of choices.slice(0, i)) {
        const apart = Math.max(
          Math.abs(Number(settings.speed) - Number(other.settings.speed)) / 2000,
          Math.abs(Number(settings.bake) - Number(other.settings.bake)) / 20,
        )
        expect(apart).toBeGreaterThanOrEqual(0.1)
      }
    }
  })
})

test('runs are ordered from the present plate setting, up or down', () => {
  expect(plateOrder([110, 100, 90, 100], (plate) => plate, 100)).toEqual([
    [100, 100, 90, 110],
    [100, 100, 110, 90],
  ])
})

test('what is left of the slot today', () => {
  const study = { slotHours: 4, coatMinutes: 10, readMinutes: 5 }
  const runs = ['2026-03-02T09:00', '2026-03-02T09:20', '2026-03-01T15:00', null].map((coatedAt) => ({
    coatedAt,
  }))
  const today = { runs, today: '2026-03-02', dayOf: (moment: string) => moment.slice(0, 10) }
  expect(minutesLeft({ study, ...today })).toBe(210)
  expect(minutesLeft({ study: { ...study, slotHours: null }, ...today })).toBeNull()
})
