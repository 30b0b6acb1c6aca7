import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { wholeChart, withLimits, zoomed } from '../../../shared/charts/axis-limits.ts'
import { programChart } from '../../../shared/charts/program-chart.ts'
import { plainTheme as theme } from './plain-theme.ts'

describe('a closer look', () => {
  test('keeps the place about which it is taken where it was on the screen', () => {
    const positive = fc.double({ min: 1e-3, max: 1e6, noNaN: true })
    fc.assert(
      fc.property(
        positive,
        fc.double({ min: 1.01, max: 1e3, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0.1, max: 4, noNaN: true }),
        fc.boolean(),
        (low, ratio, share, by, logarithmic) => {
          const high = low * ratio
          const into = logarithmic ? Math.log : (value: number) => value
          const back = logarithmic ? Math.exp : (value: number) => value
          const about = back(into(low) + share * (into(high) - into(low)))
          const [from, to] = zoomed([low, high], { about, by, logarithmic }).map(into) as [number, number]
          expect((into(about) - from) / (to - from)).toBeCloseTo(share, 6)
          expect((to - from) / (into(high) - into(low))).toBeCloseTo(by, 6)
        },
      ),
    )
  })

  test('one step closer and one farther is the same again', () => {
    const once = zoomed([1200, 1950], { about: 1500, by: 0.7, logarithmic: false })
    expect(once).toEqual([1290, 1815])
    const back = zoomed(once, { about: 1500, by: 1 / 0.7, logarithmic: false })
    expect(back[0]).toBeCloseTo(1200, 9)
    expect(back[1]).toBeCloseTo(1950, 9)
  })

  test('sets the ends of the axes, cuts marks off at the plot, and leaves the chart itself as it is', () => {
    const chart = programChart({
      profile: [
        { time: 0, rpm: 0 },
        { time: 5, rpm: 3000 },
      ],
      segments: [],
      theme,
    })
    expect(withLimits(chart.config, wholeChart)).toBe(chart.config)
    const closer = withLimits(chart.config, { x: [1, 4], y: null })
    expect(closer.options?.scales?.x).toMatchObject({ min: 1, max: 4 })
    expect(closer.options?.scales?.y).toEqual(chart.config.options?.scales?.y)
    expect(closer.data.datasets.every((set) => set.clip === 0)).toBe(true)
    expect(chart.config.options?.scales?.x).not.toMatchObject({ min: 1 })
  })
})
