import { describe, expect, test } from 'vitest'
import { withLimits } from '../../../shared/charts/axis-limits.ts'
import { curveChart } from '../../../shared/charts/curve-chart.ts'
import { chartAsSvg } from '../../../shared/charts/drawn-chart.ts'
import { shownResponse } from '../../../shared/charts/format.ts'
import { textWidth } from '../../../shared/charts/svg/text-width.ts'
import { plainTheme as theme } from './plain-theme.ts'

/** A straight line through known places, so that where it is drawn can be told from the axes. */
const chart = curveChart({
  curve: {
    factor: 'speed',
    unit: 'rpm',
    points: [2000, 3000, 4000].map((x) => ({
      x,
      estimate: 2000 - x / 4,
      confidence: [1990 - x / 4, 2010 - x / 4] as [number, number],
      prediction: [1950 - x / 4, 2050 - x / 4] as [number, number],
    })),
  },
  runs: [
    { code: 'W01', x: 2000, y: 1500, excluded: null },
    { code: 'W02', x: 4000, y: 1000, excluded: 'lid open' },
  ],
  shown: shownResponse('thickness', 'nm'),
  tolerance: { target: 1250, tolerance: 50 },
  level: 0.95,
  at: null,
  theme,
})
const options = { width: 640, height: 300, name: 'chart', ground: '#ffffff', measure: textWidth }
const svg = chartAsSvg(chart, options)

/** Where ticks of an axis stand: px by the number written there. */
function ticks(text: string, axis: 'x' | 'y'): Map<number, number> {
  const anchor = axis === 'x' ? 'middle' : 'end'
  const found = text.matchAll(/<text x="([\d.-]+)" y="([\d.-]+)"[^>]*text-anchor="(\w+)"[^>]*>(\d+)<\/text>/g)
  return new Map(
    [...found]
      .filter(([, , , at]) => at === anchor)
      .map(([, x, y, , value]) => [Number(value), Number(axis === 'x' ? x : y)]),
  )
}

/** px for a value, by two ticks. */
function placeOf(on: Map<number, number>, value: number) {
  const [[v1, p1], [v2, p2]] = [...on].slice(0, 2) as [[number, number], [number, number]]
  return p1 + ((value - v1) / (v2 - v1)) * (p2 - p1)
}

/** A tick's word is written on its line; the middle of it lies so far above. */
const half = 0.35 * 13
const lines = (text: string) =>
  [...text.matchAll(/<path d="((?:[ML][\d. -]+)+)" fill="none" stroke="#0a6468" stroke-width="2"/g)].map(
    // The first point is written twice: begun, and drawn to.
    ([, d]) => [...(d as string).matchAll(/L([\d.-]+) ([\d.-]+)/g)].map(([, x, y]) => [Number(x), Number(y)]),
  )

describe('a chart as SVG', () => {
  test('is one drawing with its size, its sentence and its ground', () => {
    expect(svg).toMatch(/^<svg xmlns="http:\/\/www\.w3\.org\/2000\/svg" width="640" height="300"/)
    expect(svg).toContain(`<title>${chart.label}</title>`)
    expect(svg).toContain('<rect width="640" height="300" fill="#ffffff"/>')
    expect(svg).not.toMatch(/NaN|undefined|Infinity/)
    expect(chartAsSvg(chart, { ...options, ground: null })).not.toContain('<rect width="640"')
  })

  test('the fitted line and the edges of the band lie where their values are on the axes', () => {
    const [line] = lines(svg)
    expect(line).toHaveLength(3)
    const [x, y] = [ticks(svg, 'x'), ticks(svg, 'y')]
    ;[2000, 3000, 4000].forEach((speed, i) => {
      expect(line![i]![0]).toBeCloseTo(placeOf(x, speed), 0)
      expect(line![i]![1]! + half).toBeCloseTo(placeOf(y, 2000 - speed / 4), 0)
    })
    const edges = [...svg.matchAll(/d="M([\d.]+) ([\d.]+)[^"]*"[^>]*stroke="#0a6468"[^>]*dasharray="4 3"/g)]
    const starts = edges.map(([, , at]) => Number(at) + half).sort((a, b) => a - b)
    expect(starts[0]).toBeCloseTo(placeOf(y, 1550), 0)
    expect(starts[1]).toBeCloseTo(placeOf(y, 1450), 0)
  })

  test('the limits of the tolerance lie at their values', () => {
    const y = ticks(svg, 'y')
    for (const value of [1200, 1300]) {
      const at = placeOf(y, value) - half
      const dotted = [...svg.matchAll(/d="M[\d.]+ ([\d.]+)L[\d.]+ ([\d.]+)"[^>]*stroke-dasharray="2 3"/g)]
      expect(dotted.some(([, from, to]) => from === to && Math.abs(Number(from) - at) < 0.6)).toBe(true)
    }
  })

  test('a closer look moves the axes and cuts off what lies outside', () => {
    const closer = chartAsSvg(
      { ...chart, config: withLimits(chart.config, { x: [2500, 3500], y: [1100, 1400] }) },
      options,
    )
    const [x, y] = [ticks(closer, 'x'), ticks(closer, 'y')]
    expect([...x.keys()].every((value) => value >= 2500 && value <= 3500)).toBe(true)
    expect([...y.keys()].every((value) => value >= 1100 && value <= 1400)).toBe(true)
    expect(svg).toContain('>fitted line<')
    expect(closer).not.toContain('>fitted line<')
  })
})
