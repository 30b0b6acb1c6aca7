import { describe, expect, test } from 'vitest'
import type { Settings } from '../../../shared/contract/things.ts'
import { type FittedModel, fitModel } from '../../../shared/model/fit.ts'
import { chanceToMiss } from '../../../shared/next/chance.ts'
import { targetImprovement } from '../../../shared/next/improvement.ts'
import { recommend } from '../../../shared/next/recommend.ts'
import { type Place, settingsAt } from '../../../shared/next/region.ts'
import { gridOf, search } from '../../../shared/next/search.ts'
import { type PlaceOutlook, type Work, workFor } from '../../../shared/next/work.ts'
import { seeded } from '../../../shared/random.ts'
import { continuous } from '../../engine/studies-for-tests.ts'

const region = [
  continuous('speed', 'speed', 'rpm', [1500, 5000], 3),
  continuous('time', 'other', 's', [20, 60], 3),
  continuous('bake', 'bake temperature', '°C', [90, 110], 3),
]

/** A quadratic model of 20 films at settings by chance, on a surface by chance. Invented. */
function fittedBy(random: ReturnType<typeof seeded>): { model: FittedModel; tested: Settings[] } {
  const bends = Array.from({ length: 3 }, () => 0.04 * random.normal())
  const slope = 0.1 * random.normal()
  const rows = Array.from({ length: 20 }, () => {
    const [u, v, w] = [random.uniform(), random.uniform(), random.uniform()] as const
    const film = -0.5 * u + slope * v - 0.06 * w + bends[0]! * v * v + bends[1]! * v * w + bends[2]! * u * v
    return {
      speed: Math.round(1500 + 3500 * u),
      time: Math.round(20 + 40 * v),
      bake: Math.round(90 + 20 * w),
      thickness: 1800 * Math.exp(film + 0.006 * random.normal()),
    }
  })
  const names = ['speed', 'time', 'bake', 'thickness'] as const
  const columns = names.map((name) => ({ name, values: rows.map((row) => row[name]) }))
  const model = 'log(thickness) ~ (log(speed) + time + bake)^2 + log(speed)^2 + time^2 + bake^2'
  const fit = fitModel({ table: { columns, rows: rows.length }, model })
  if (!fit.ok) throw new Error(fit.problems[0]?.message)
  return { model: fit.value, tested: rows.map(({ thickness: _, ...settings }) => settings) }
}

/** What each aim looks for, as the screen’s recommendations score it. */
const scores: Record<string, (work: Work) => (place: Place) => number> = {
  'the chance to be in tolerance':
    ({ at, goal, predictor }) =>
    (place) => {
      const { mean, variance, df } = at(place) as PlaceOutlook
      return 1 - chanceToMiss({ ...goal, mean, standardDeviation: Math.sqrt(predictor.noise + variance), df })
    },
  'what a run teaches': (work) => (place) => {
    const run = work.predictor.here(settingsAt(work.axes, place))
    return run === null ? 0 : work.average().reduction(run) / work.average().variance
  },
  'the expected improvement':
    ({ at, goal }) =>
    (place) => {
      const { mean, variance } = at(place) as PlaceOutlook
      const standardDeviation = Math.sqrt(variance)
      const distance = 0.01
      return targetImprovement({ target: goal.target, distance, mean, standardDeviation }) / distance ** 2
    },
}

/** Studies to try; more in the long count. */
const studies = process.env.EVENFILM_TEST_LONG ? 20 : 8

describe(`the best score found is within 0.00001 of the one from a grid of 8000 places, over ${studies} studies`, () => {
  test.each(Object.keys(scores))('%s', (name) => {
    for (let seed = 1; seed <= studies; seed++) {
      const { model, tested } = fittedBy(seeded(seed))
      const costOf = () => ({ minutes: 10, resistMl: 3, plateChange: false })
      const prepared = workFor({ model, region, target: 1400, tolerance: 20, tested, costOf })
      if (!prepared.ok) throw new Error(prepared.problems[0]?.message)
      const work = prepared.value
      const score = scores[name]!(work)
      const [usual] = search({ ...work, score })
      const wide = gridOf({ axes: work.axes, seed, marks: [], most: 8000 })
      expect(wide.places.length).toBeGreaterThan(2 * work.grid.places.length)
      const [best] = search({ ...work, grid: wide, score })
      expect(usual!.score, `study ${seed}`).toBeGreaterThan(best!.score - 1e-5)
    }
  })
})

test('a recommendation tells how far it has come, never less than before', () => {
  const { model, tested } = fittedBy(seeded(5))
  const told: number[] = []
  const answer = recommend({
    ...{ model, tested, region, target: 1300, tolerance: 30 },
    costOf: () => ({ minutes: 10, resistMl: 3, plateChange: false }),
    tell: (_, done, of) => told.push(done / of),
  })
  expect(answer.ok).toBe(true)
  expect(told[0]).toBe(0)
  expect(told.at(-1)).toBeGreaterThan(0.9)
  expect(told.at(-1)).toBeLessThan(1)
  expect(told).toEqual([...told].sort((a, b) => a - b))
})
