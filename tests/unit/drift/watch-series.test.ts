import { describe, expect, test } from 'vitest'
import { changeAt } from '../../../shared/drift/change.ts'
import type { Stretch } from '../../../shared/drift/stretches.ts'
import { changeBeyond, trendWithin } from '../../../shared/drift/trend.ts'
import { type SeriesOptions, watchSeries } from '../../../shared/drift/watch-series.ts'
import { seeded } from '../../../shared/random.ts'

/** Invented readings, nm: 0.3 % a reading, and a step after the twelfth. */
function readings(options: { slope: number; step: number; seed?: number; scatter?: number }): number[] {
  const { slope, step, seed = 1, scatter = 0.002 } = options
  const random = seeded(seed)
  return Array.from(
    { length: 24 },
    (_, i) => 1500 * Math.exp(slope * i + (i < 12 ? 0 : step) + scatter * random.normal()),
  )
}
const breaks = [{ words: 'fresh bottle', before: 12 }]
const watch = (values: readonly number[], more: Partial<SeriesOptions> = {}) =>
  watchSeries({
    values,
    scale: 'log',
    limitsFrom: { from: 1, to: null },
    rules: ['beyond three', 'average'],
    breaks,
    along: { measure: 'readings', x: values.map((_, i) => i) },
    ...more,
  })

describe('a change at an event', () => {
  test('with a drift before it: the means hold the drift, the estimate beyond the trend does not', () => {
    const values = readings({ slope: 0.003, step: -0.02 })
    const [change] = watch(values).changes
    const { estimate, interval } = change!.beyondTrend!
    expect(interval[0]).toBeLessThan(Math.expm1(-0.02))
    expect(interval[1]).toBeGreaterThan(Math.expm1(-0.02))
    expect(estimate).toBeLessThan(-0.015)
    // Twelve readings of drift lie between the two means.
    expect(change!.change!.estimate).toBeGreaterThan(0.005)
    expect(change!.words).toMatch(
      /^fresh bottle: \u2212.* beyond the steady trend, by 12 readings before it and 12 after it/,
    )
    expect(change!.words).toMatch(/With the trend left in, the means differ by \+/)
  })

  test('is covered as claimed where there is a drift; that of the means is not', () => {
    // 95 % of 400: 20 misses expected, standard deviation 4.4.
    let [beyond, means] = [0, 0]
    const x = Array.from({ length: 24 }, (_, i) => i)
    const stretches: [Stretch, Stretch] = [
      { from: 0, to: 12 },
      { from: 12, to: 24 },
    ]
    const missed = ({ lower, upper }: { lower: number; upper: number }) =>
      Number(lower > 0.005 || upper < 0.005)
    for (let seed = 1; seed <= 400; seed++) {
      const logs = readings({ slope: 0.001, step: 0.005, seed }).map(Math.log)
      beyond += missed(changeBeyond(x, logs, stretches, trendWithin(x, logs, stretches)!)!)
      means += missed(changeAt(logs.slice(0, 12), logs.slice(12))!)
    }
    expect(Math.abs(beyond - 20)).toBeLessThan(3.4 * 4.4)
    expect(means).toBeGreaterThan(390)
  })

  test('without a trend to be told, the means are said first', () => {
    const values = readings({ slope: 0, step: 0.01, seed: 5 })
    const [change] = watch(values).changes
    expect(change!.words).toMatch(/from the mean of 12 readings before it to that of 12 after it/)
    expect(change!.words).toContain('With a trend taken out, though none can be told')
    const logs = values.map(Math.log)
    expect(change!.change!.estimate).toBeCloseTo(
      Math.expm1(changeAt(logs.slice(0, 12), logs.slice(12))!.change),
      12,
    )
  })
})

describe('which readings set the limits', () => {
  const values = readings({ slope: 0, step: 0.05, seed: 3 })

  test('from an event on: the state before it is not watched, and a step is no alarm any more', () => {
    expect(watch(values).chart.alarms.some(({ reading }) => reading === 13)).toBe(true)
    const { chart, words, falseAlarms } = watch(values, { limitsFrom: { from: 13, to: null } })
    expect(chart.limits).toMatchObject({ from: 13, to: 24, points: 12, provisional: true })
    expect(chart.limits!.centre).toBeGreaterThan(1500 * 1.045)
    expect(chart.alarms.filter(({ reading }) => reading < 13)).toEqual([])
    expect(chart.readings.map(({ average }) => average !== null)).toEqual(values.map((_, i) => i >= 12))
    expect(words[0]).toContain('Limits from the 12 readings 13 to 24')
    const twelve = watch(values.slice(12), { breaks: [] })
    expect(chart.limits!.upper).toBeCloseTo(twelve.chart.limits!.upper, 9)
    expect(falseAlarms).toEqual(twelve.falseAlarms)
  })

  test('a stretch of one’s own: the rules go on after it, and are counted by readings', () => {
    const { chart } = watch(values, { limitsFrom: { from: 3, to: 10 } })
    expect(chart.limits).toMatchObject({ from: 3, to: 10, points: 8 })
    expect(chart.alarms.find(({ rule }) => rule === 'beyond three')).toMatchObject({
      reading: 13,
      side: 'above',
      words: 'Reading 13: one reading beyond three deviations, above the centre.',
    })
  })

  test('too few since an event are said with the place', () => {
    const { chart, problems } = watch(values, { limitsFrom: { from: 22, to: null } })
    expect([chart.limits, chart.alarms]).toEqual([null, []])
    expect(problems).toMatchObject([
      { code: 'tooFewReadings', message: 'Limits need at least 5 readings; there are 3 from reading 22 on.' },
    ])
  })
})
