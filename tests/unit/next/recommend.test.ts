import { readFileSync } from 'node:fs'
import { resolve } from 'node:path'
import { describe, expect, test } from 'vitest'
import { recommendation } from '../../../shared/contract/results/next.ts'
import type { Factor, Settings } from '../../../shared/contract/things.ts'
import { tCdf } from '../../../shared/model/distributions.ts'
import { type FittedModel, fitModel } from '../../../shared/model/fit.ts'
import type { Table } from '../../../shared/model/table.ts'
import { recommend } from '../../../shared/next/recommend.ts'
import { demoScenario } from '../../../shared/process/demo-scenario.ts'
import { categorical, continuous } from '../design/examples.ts'

const range = (name: string, low: number, high: number, more: Partial<Factor> = {}) =>
  continuous(name, { low, high, ...more })

/** Twelve speeds of a positive resist (University of Pennsylvania cleanroom, scn_tooldata 1000). */
const spinCurve = readFileSync(resolve(import.meta.dirname, '../../data/upenn_resist_spin_curve.csv'), 'utf8')
  .split('\n')
  .flatMap((line) => {
    const [speed, thickness] = line.split(',').map(Number)
    return speed && thickness ? [{ speed, thickness }] : []
  })

function tableOf(rows: Settings[]): Table {
  const names = Object.keys(rows[0] ?? {})
  return {
    columns: names.map((name) => ({ name, values: rows.map((row) => row[name] ?? null) })),
    rows: rows.length,
  }
}

function fitted(rows: Settings[], model: string): FittedModel {
  const answer = fitModel({ table: tableOf(rows), model })
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  return answer.value
}

const free = () => ({ minutes: 10, resistMl: 3.5, plateChange: false })
const curved = fitted(spinCurve, 'log(thickness) ~ log(speed) + log(speed)^2')

/** Chance to be in tolerance from the published prediction interval alone. */
function chanceFrom(model: FittedModel, at: Settings, low: number, high: number): number {
  const [prediction] = model.predict([at], { level: 0.5 })
  if (!prediction) return 0
  const [a, b] = prediction.prediction.map(Math.log) as [number, number]
  // The quartile of t by bisection, so that nothing of the program's own inverse is used.
  let [t, t1] = [0, 5]
  while (t1 - t > 1e-13) {
    const middle = (t + t1) / 2
    if (tCdf(middle, prediction.df) < 0.75) t = middle
    else t1 = middle
  }
  const s = (b - a) / (2 * t)
  const mean = Math.log(prediction.estimate)
  return tCdf((Math.log(high) - mean) / s, prediction.df) - tCdf((Math.log(low) - mean) / s, prediction.df)
}

describe('to reach the target', () => {
  test('it finds the best of all settings that the coater has', () => {
    const answer = recommend({
      model: curved,
      region: [range('speed', 500, 6000, { step: 10, scale: 'log' })],
      target: 0.6,
      tolerance: 0.02,
      aims: ['reach'],
      tested: spinCurve,
      costOf: free,
    })
    if (!answer.ok) throw new Error(answer.problems[0]?.message)
    const [choice] = recommendation.strict().parse(answer.value).choices
    if (!choice) throw new Error('no choice')
    const chances = Array.from({ length: 551 }, (_, i) =>
      chanceFrom(curved, { speed: 500 + 10 * i }, 0.58, 0.62),
    )
    const best = Math.max(...chances)
    // Practically equal chances (0.2 points) may be traded for a smaller variance.
    expect(1 - (choice.chanceInTolerance.sameSession ?? 0)).toBeLessThanOrEqual((1 - best) * 1.01 + 0.002)
    expect(choice.chanceInTolerance.sameSession).toBeCloseTo(
      chanceFrom(curved, choice.settings, 0.58, 0.62),
      10,
    )
    expect(choice.extrapolates).toBe(false)
    expect(choice.chanceInTolerance.otherSession).toBeNull()
    expect(choice.prediction.otherSession).toBeNull()
  })

  test('a wide tolerance does not draw the estimate away from the target', () => {
    const answer = recommend({
      model: curved,
      region: [range('speed', 500, 6000)],
      target: 0.6,
      tolerance: 0.2,
      aims: ['reach'],
      tested: spinCurve,
      costOf: free,
    })
    // On the log scale the middle of 0.4–0.8 is 0.566.
    expect(answer.ok && answer.value.choices[0]?.estimate).toBeGreaterThan(0.555)
    expect(answer.ok && answer.value.choices[0]?.estimate).toBeLessThan(0.605)
  })

  const beyond = {
    model: curved,
    region: [range('speed', 2000, 6000)],
    target: 1.5,
    tolerance: 0.02,
    tested: spinCurve,
    costOf: free,
  }

  test('where the target lies beyond the region a run can still teach', () => {
    const answer = recommend(beyond)
    if (!answer.ok) throw new Error(answer.problems[0]?.message)
    expect(answer.value.choices.map(({ aim }) => aim)).toEqual(['learn'])
    expect(answer.value.problems.map(({ code }) => code)).toEqual(['outOfReach'])
  })

  test('a target beyond the region is refused with the nearest value', () => {
    const answer = recommend({ ...beyond, aims: ['reach', 'both'] })
    expect(answer.ok).toBe(false)
    if (answer.ok) return
    const [nearest] = curved.predict([{ speed: 2000 }])
    expect(answer.problems[0]?.code).toBe('outOfReach')
    expect(answer.problems[0]?.message).toContain('speed 2000')
    expect(answer.problems[0]?.message).toContain((nearest?.estimate ?? 0).toFixed(3))
  })

  test('what is out of reach can still be learnt from', () => {
    const answer = recommend({
      model: curved,
      region: [range('speed', 2000, 6000)],
      target: 1.5,
      tolerance: 0.02,
      aims: ['learn'],
      tested: spinCurve,
      costOf: free,
    })
    expect(answer.ok && answer.value.choices).toHaveLength(1)
  })
})

describe('to learn', () => {
  test('it takes the run that a refit with each possible run shows to be best', () => {
    const model = 'log(thickness) ~ log(speed) + log(speed)^2'
    const average = (rows: Settings[]) => {
      const one = fitted(rows, model)
      const sigma = one.residualStandardDeviation ?? 1
      const points = 200
      const places = Array.from({ length: points }, (_, i) => ({ speed: 1000 + (4000 * (i + 0.5)) / points }))
      const shares = one.predict(places).map((at) => (at.standardErrorOfMean / at.estimate / sigma) ** 2)
      return shares.reduce((sum, share) => sum + share, 0) / points
    }
    const speeds = Array.from({ length: 21 }, (_, i) => 1000 + 200 * i)
    const after = speeds.map((speed) => average([...spinCurve, { speed, thickness: 0.5 }]))
    const least = Math.min(...after)
    const answer = recommend({
      model: curved,
      region: [range('speed', 1000, 5000, { step: 200 })],
      target: 0.6,
      tolerance: 0.02,
      aims: ['learn'],
      tested: spinCurve,
      costOf: free,
    })
    if (!answer.ok) throw new Error(answer.problems[0]?.message)
    const [choice] = answer.value.choices
    const place = speeds.indexOf(choice?.settings.speed as number)
    const now = average(spinCurve)
    expect(now - (after[place] ?? 1)).toBeGreaterThanOrEqual(0.98 * (now - least))
    const sigma = curved.residualStandardDeviation ?? 1
    const words = (variance: number) => `${(100 * sigma * Math.sqrt(variance)).toPrecision(3)} %`
    expect(choice?.reason).toContain(`from ${words(now)} to ${words(after[place] ?? 1)}`)
  })
})

describe('on the invented sweep of the demo', () => {
  const runs = demoScenario(7).stages[0]?.runs ?? []
  const rows = runs.map((run) => ({
    ...run.settings,
    thickness: run.readings.reduce((sum, reading) => sum + reading.valueNm, 0) / run.readings.length,
  }))
  const tested = runs.map((run): Settings => run.settings)
  const model = fitted(rows, 'log(thickness) ~ log(speed) + time + time^2 + bake + bake^2 + log(speed).time')
  const region = [
    range('speed', 2000, 4500, { step: 10 }),
    range('time', 20, 60, { step: 1 }),
    range('bake', 90, 110, { step: 1, role: 'bake temperature' }),
  ]
  const ask = (more: Partial<Parameters<typeof recommend>[0]>) => {
    const answer = recommend({ model, region, target: 1500, tolerance: 30, tested, costOf: free, ...more })
    if (!answer.ok) throw new Error(answer.problems[0]?.message)
    return answer.value.choices
  }

  test('each aim gives a choice on the steps of the tools, inside what was tested', () => {
    const choices = ask({})
    expect(choices.map((choice) => choice.aim)).toEqual(['reach', 'learn', 'both'])
    for (const { settings } of choices) {
      expect((settings.speed as number) % 10).toBe(0)
      expect(Number.isInteger(settings.time)).toBe(true)
      expect(Number.isInteger(settings.bake)).toBe(true)
    }
    const [reach, learn] = choices
    expect(reach?.estimate).toBeGreaterThan(1490)
    expect(reach?.estimate).toBeLessThan(1510)
    expect(reach?.extrapolates).toBe(false)
    expect(reach?.standardErrorOfMean).toBeLessThan(learn?.standardErrorOfMean ?? 0)
  })

  test('among practically equal chances it spares the plate', () => {
    const costOf = (settings: Settings) => ({
      ...free(),
      plateChange: settings.bake !== 102,
    })
    const [reach] = ask({ aims: ['reach'], costOf })
    const [other] = ask({ aims: ['reach'] })
    const missed = (choice: typeof reach) => 1 - (choice?.chanceInTolerance.sameSession ?? 0)
    expect(reach?.settings.bake).toBe(102)
    expect(reach?.cost.plateChange).toBe(false)
    expect(missed(reach)).toBeLessThanOrEqual(missed(other) * 1.02 + 0.004)
  })

  test('alternatives lie apart and stay in tolerance; the same question has the same answer', () => {
    const choices = ask({ aims: ['reach'], count: 4 })
    expect(choices).toHaveLength(4)
    for (const choice of choices) expect(Math.abs(choice.estimate - 1500)).toBeLessThanOrEqual(30)
    for (const [i, a] of choices.entries())
      for (const b of choices.slice(i + 1)) {
        const gap = region.map(
          ({ name, low, high }) =>
            Math.abs((a.settings[name] as number) - (b.settings[name] as number)) /
            ((high ?? 1) - (low ?? 0)),
        )
        expect(Math.max(...gap)).toBeGreaterThanOrEqual(0.1 - 1e-9)
      }
    expect(ask({ aims: ['reach'], count: 4 })).toEqual(choices)
  })

  test('beyond the tested ranges it says so, with the factor', () => {
    const [choice] = ask({
      aims: ['reach'],
      region: [range('speed', 2000, 8000), range('time', 5, 15), range('bake', 90, 110)],
    })
    expect(choice?.extrapolates).toBe(true)
    expect(choice?.reason).toMatch(/time [\d.]+ is below the lowest tested, 20/)
  })

  test('a factor whose ends meet is held there, one that the model does not use stays as tested', () => {
    const [choice] = ask({
      aims: ['reach'],
      region: [
        range('speed', 2000, 4500),
        range('time', 40, 40),
        range('bake', 100, 100),
        range('ramp', 500, 2000),
      ],
      tested: tested.map((settings) => ({ ...settings, ramp: 1000 })),
    })
    expect(choice?.settings).toMatchObject({ time: 40, bake: 100, ramp: 1000 })
  })

  test('a factor that the model needs and the region lacks is named', () => {
    const answer = recommend({
      model,
      region: region.slice(0, 2),
      target: 1500,
      tolerance: 30,
      tested,
      costOf: free,
    })
    expect(answer.ok || answer.problems.map(({ code, column }) => [code, column])).toEqual([
      ['missingFactor', 'bake'],
    ])
  })
})

describe('with lots, plain responses and thin data', () => {
  const rows = [2000, 2500, 3000, 3500, 4000, 4500].flatMap((speed, i) =>
    ['A', 'B'].map((lot) => ({
      speed,
      lot,
      thickness: 60000 / Math.sqrt(speed) + (lot === 'B' ? 40 : 0) + (i % 2 === 0 ? 2 : -2),
    })),
  )

  test('only the levels of the region are chosen', () => {
    const model = fitted(rows, 'log(thickness) ~ log(speed) + lot')
    for (const level of ['A', 'B']) {
      const answer = recommend({
        model,
        region: [range('speed', 2000, 4500), categorical('lot', [level])],
        target: 1100,
        tolerance: 20,
        tested: rows.map(({ speed, lot }) => ({ speed, lot })),
        costOf: free,
      })
      expect(answer.ok && answer.value.choices.map((choice) => choice.settings.lot)).toEqual([
        level,
        level,
        level,
      ])
    }
  })

  test('a number given as the only level of a column of numbers is held there', () => {
    const answer = recommend({
      model: fitted(
        rows.map((row, i) => ({ ...row, humidity: 44 + (i % 4) })),
        'log(thickness) ~ log(speed) + humidity',
      ),
      region: [range('speed', 2000, 4500), categorical('humidity', ['45'])],
      target: 1100,
      tolerance: 40,
      aims: ['reach'],
      tested: rows.map(({ speed }, i) => ({ speed, humidity: 44 + (i % 4) })),
      costOf: free,
    })
    expect(answer.ok && answer.value.choices[0]?.settings.humidity).toBe(45)
  })

  test('a level that was not fitted is refused', () => {
    const answer = recommend({
      model: fitted(rows, 'log(thickness) ~ log(speed) + lot'),
      region: [range('speed', 2000, 4500), categorical('lot', ['C'])],
      target: 1100,
      tolerance: 20,
      tested: rows,
      costOf: free,
    })
    expect(answer.ok || answer.problems[0]?.code).toBe('unknownLevel')
  })

  test('a response on its own scale works as well, also with a tolerance that reaches below zero', () => {
    const answer = recommend({
      model: fitted(rows, 'thickness ~ speed + speed^2 + lot'),
      region: [range('speed', 2000, 4500), categorical('lot', ['A', 'B'])],
      target: 1100,
      tolerance: 2000,
      tested: rows,
      costOf: free,
    })
    expect(answer.ok && answer.value.choices[0]?.chanceInTolerance.sameSession).toBeGreaterThan(0.999999)
  })

  test('without degrees of freedom there is no answer', () => {
    const answer = recommend({
      model: fitted(spinCurve.slice(0, 3), 'log(thickness) ~ log(speed) + log(speed)^2'),
      region: [range('speed', 500, 1500)],
      target: 1,
      tolerance: 0.1,
      tested: spinCurve.slice(0, 3),
      costOf: free,
    })
    expect(answer.ok || answer.problems[0]?.code).toBe('noDegreesOfFreedom')
  })
})
