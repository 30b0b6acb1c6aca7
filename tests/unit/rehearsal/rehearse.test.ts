import { describe, expect, test } from 'vitest'
import type { Factor } from '../../../shared/contract/things.ts'
import { demoScenario } from '../../../shared/process/demo-scenario.ts'
import { usualFilm } from '../../../shared/process/invented-film.ts'
import { type RehearsalOptions, rehearse } from '../../../shared/rehearsal/rehearse.ts'
import { still } from '../next/invented-lab.ts'

const { study, coater, factors, stages } = demoScenario(7)
const sweep = (stages[0]?.runs ?? []).map(({ settings, lot, plateVisit }) => ({
  settings,
  lot,
  plateVisit,
  session: 'Day 1',
}))
const demo: RehearsalOptions = {
  wafers: sweep,
  factors,
  study: { ...study, coater },
  targetNm: 1500,
  toleranceNm: 30,
  times: 40,
  seed: 1,
}
const done = (options: Partial<RehearsalOptions> = {}) => {
  const answer = rehearse({ ...demo, ...options })
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  return answer.value
}

/** Speeds alone, a wafer each, on so many days. */
const speeds = [2000, 2500, 3000, 3500, 4000, 4500]
const speedOnly = { ...(factors[0] as Factor), levels: 6 }
const curveOf = (days: number, wafersEach: number): Partial<RehearsalOptions> => ({
  factors: [speedOnly],
  wafers: Array.from({ length: days * wafersEach }, (_, i) => ({
    settings: { speed: speeds[i % speeds.length] as number },
    lot: 'A',
    plateVisit: 1,
    session: `Day ${Math.floor(i / wafersEach)}`,
  })),
})

describe('a rehearsal of the demo study', () => {
  test('the same seed gives the same studies; study i of seed s is study 0 of seed s + i', () => {
    const once = done({ times: 3 })
    expect(done({ times: 3 })).toEqual(once)
    expect(done({ times: 1, seed: 3 }).studies[0]).toEqual(once.studies[2])
    expect(once.studies[0]).not.toEqual(once.studies[1])
  })

  test('its figures are those of the scenario: recipe near 3280 rpm, another day covered though it is not known', () => {
    // The scenario's own count of 300 studies: true optimum 3280 rpm at display 100 °C; an interval that leaves the day
    // out covers 70 %. Knowing the day, 1500 ± 25 nm (2σ) would hold it; one day alone tells nothing of it.
    const result = done({ times: 80, seed: 500 })
    expect(result.recipe!.mean).toBeGreaterThan(3265)
    expect(result.recipe!.mean).toBeLessThan(3305)
    expect(result.halfWidths.anotherDay!).toBeGreaterThan(30)
    expect(result.halfWidths.anotherDay!).toBeLessThan(42)
    expect(result.coverage.anotherDay.share!).toBeGreaterThan(0.95)
    expect(result.coverage.dayIgnored.share!).toBeLessThan(0.85)
    expect(result.withinTolerance!.share!).toBeGreaterThan(0.97)
  }, 60_000)

  test('a tighter tolerance is met less often, and the question answered less often, on one day hardly ever', () => {
    const days = sweep.map((wafer, i) => ({ ...wafer, session: `Day ${1 + (i % 3)}` }))
    const times = 20
    const wide = done({ wafers: days, toleranceNm: 40, times })
    const narrow = done({ wafers: days, toleranceNm: 8, times })
    expect(done({ toleranceNm: 30, times }).answered!.count).toBe(0)
    expect(narrow.withinTolerance!.count).toBeLessThan(wide.withinTolerance!.count)
    expect(narrow.answered!.count).toBe(0)
    expect(wide.answered!.count).toBeGreaterThan(15)
  }, 30_000)
})

describe('a film whose truth is known', () => {
  test('without any variation every study finds the speed whose film is the target, to the coater’s step', () => {
    const result = done({ ...curveOf(1, 12), film: { ...still, wetShare: 0 }, times: 2 })
    for (const { recipe, trueNm } of result.studies) {
      expect(recipe! % 10).toBe(0)
      // 10 rpm are 2.3 nm here; the humidity's rise and the bowl's settling are still there.
      expect(Math.abs(trueNm! - 1500)).toBeLessThan(4)
    }
  })

  test('intervals for own days and for another day hold the truth in 95 %, where the model is the film', () => {
    const times = 200
    const film = { ...still, wetShare: 0, wafer: 0.01, session: 0.01 }
    const result = done({ ...curveOf(1, 12), film, times, model: 'log(thickness) ~ log(speed)' })
    const reach = 3.5 * Math.sqrt((0.95 * 0.05) / times)
    for (const share of [result.coverage.mean.share!, result.coverage.anotherDay.share!])
      expect(Math.abs(share - 0.95)).toBeLessThan(reach)
    // One day's wafers know nothing of the day: √(1 + 1/12) σ of reach against √(2 + 1 + 1/12) σ of spread.
    expect(result.coverage.dayIgnored.share!).toBeLessThan(0.85)
  }, 60_000)

  test('a target beyond the planned speeds gives no recipe', () => {
    const result = done({ ...curveOf(1, 12), targetNm: 900, film: { referenceNm: 1560 }, times: 3 })
    expect(result.recipes).toMatchObject({ count: 0, of: 3 })
    expect(result).toMatchObject({ recipe: null, trueThickness: null, answered: { count: 0 } })
    expect(result.words.join(' ')).toContain('In 3 of 3 the fit did not reach the target')
  })

  test('a film that nobody has given a thickness is made to reach the target', () => {
    const result = done({ ...curveOf(1, 12), targetNm: 400, toleranceNm: 10, times: 3 })
    expect(result.film.referenceNm).not.toBe(usualFilm.referenceNm)
    expect(result.recipes.count).toBe(3)
    expect(result.problems.map(({ code }) => code)).toEqual(['filmScaled'])
  })

  test('a recipe is given for the lot that the settings name', () => {
    const lot: Factor = {
      ...(factors[0] as Factor),
      name: 'lot',
      role: 'lot',
      unit: '',
      kind: 'categorical',
      low: null,
      high: null,
      step: null,
      scale: 'linear',
      levelNames: ['old', 'new'],
    }
    const wafers = Array.from({ length: 16 }, (_, i) => {
      const name = i % 2 === 0 ? 'old' : 'new'
      return {
        settings: { speed: speeds[(i >> 1) % 6] as number, lot: name },
        lot: name,
        plateVisit: 1,
        session: 'Day',
      }
    })
    const both = { wafers, factors: [speedOnly, lot], film: { ...still, wetShare: 0, lotB: 0.05 }, times: 2 }
    const old = done({ ...both, at: { lot: 'old' } })
    const fresh = done({ ...both, at: { lot: 'new' } })
    // 5 % more film take 1.05^(1/0.505), 10 % more speed, and both are truly the target.
    expect(fresh.recipe!.mean / old.recipe!.mean).toBeCloseTo(1.05 ** (1 / 0.505), 1)
    expect(Math.abs(fresh.trueThickness!.bias)).toBeLessThan(5)
    expect(Math.abs(old.trueThickness!.bias)).toBeLessThan(5)
  })
})

test('no speed and no run are refused', () => {
  expect(rehearse({ ...demo, factors: factors.slice(1) })).toMatchObject({ problems: [{ code: 'noSpeed' }] })
  expect(rehearse({ ...demo, wafers: [] })).toMatchObject({ problems: [{ code: 'noRuns' }] })
})
