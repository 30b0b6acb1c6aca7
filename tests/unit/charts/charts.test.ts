import { describe, expect, test } from 'vitest'
import { crowd, extent, logarithmicTicks, marks } from '../../../shared/charts/chart.ts'
import { contourChart, contourKey } from '../../../shared/charts/contour-chart.ts'
import { curveChart } from '../../../shared/charts/curve-chart.ts'
import { chartAsSvg } from '../../../shared/charts/drawn-chart.ts'
import { shownResponse } from '../../../shared/charts/format.ts'
import { ledgerChart } from '../../../shared/charts/ledger-chart.ts'
import { spread } from '../../../shared/charts/line-labels.ts'
import { lotsChart } from '../../../shared/charts/lots-chart.ts'
import { programChart } from '../../../shared/charts/program-chart.ts'
import {
  normalScoresChart,
  residualsAgainstFactor,
  residualsInRunOrder,
} from '../../../shared/charts/residual-charts.ts'
import { textWidth } from '../../../shared/charts/svg/text-width.ts'
import { groupStyle } from '../../../shared/charts/theme.ts'
import { plainTheme as theme } from './plain-theme.ts'

const curve = {
  factor: 'speed',
  unit: 'rpm',
  points: [
    { x: 2000, estimate: 1934.4, confidence: [1930, 1939], prediction: [1920, 1949] },
    { x: 4000, estimate: 1342.4, confidence: [1339, 1346], prediction: [1331, 1354] },
  ] as { x: number; estimate: number; confidence: [number, number]; prediction: [number, number] }[],
}
const runs = [
  { code: 'W01', x: 2000, y: 1940, excluded: null },
  { code: 'W02', x: 4000, y: 1500, excluded: 'lid open' },
]
const inMicrometres = shownResponse('thickness', 'µm')

describe('the curve', () => {
  const chart = curveChart({
    curve,
    runs,
    shown: inMicrometres,
    tolerance: { target: 1500, tolerance: 30 },
    level: 0.95,
    at: 3250,
    theme,
  })
  const sets = chart.config.data.datasets

  test('draws the line, both bands and the runs in the shown unit', () => {
    expect(sets).toHaveLength(9)
    expect(sets[0]!.data[0]!.x).toBe(2000)
    expect(sets[0]!.data[0]!.y).toBeCloseTo(1.9344, 12)
    expect(sets[1]!.data[1]!.y).toBeCloseTo(1.346, 12)
    expect(sets[2]!.data[1]!.y).toBeCloseTo(1.339, 12)
    expect(sets[1]!.fill).toBe('+1')
  })

  test('runs left out are hollow', () => {
    expect(sets[5]!.data).toEqual([{ x: 2000, y: 1.94 }])
    expect(sets[6]!.data).toEqual([{ x: 4000, y: 1.5 }])
    expect(sets[6]!.pointBackgroundColor).toBe('transparent')
  })

  test('the tolerance band lies around the target in the shown unit', () => {
    const guides = chart.config.options!.plugins!.annotation!.annotations as Record<string, { yMin?: number }>
    expect(guides.tolerance).toMatchObject({ type: 'box', yMin: 1.47, yMax: 1.53 })
    expect(guides.at).toMatchObject({ scaleID: 'x', value: 3250 })
  })

  test('nothing moves and nothing is parsed', () => {
    expect(chart.config.options).toMatchObject({ animation: false, parsing: false })
  })

  test('says the same in words and as a table', () => {
    expect(chart.stops[0]!.words).toBe(
      'At 2000 rpm: 1.9344 µm; mean 1.9300 to 1.9390, next run 1.9200 to 1.9490',
    )
    expect(chart.table.rows[0]).toHaveLength(chart.table.columns.length)
    expect(chart.label).toContain('target 1.5 ± 0.03 µm')
  })

  test('stands empty without points', () => {
    const empty = curveChart({
      curve: { ...curve, points: [] },
      runs: [],
      shown: inMicrometres,
      tolerance: null,
      level: 0.95,
      at: null,
      theme,
    })
    expect(empty.stops).toEqual([])
    expect(empty.config.options!.scales!.x).toMatchObject({ min: 0, max: 1 })
  })
})

test('lots differ by mark and dash, not by colour alone', () => {
  const chart = lotsChart({
    curves: ['A', 'B', 'C'].map((group) => ({ ...curve, group })),
    runs: runs.map((run) => ({ ...run, group: 'B' })),
    shown: shownResponse('thickness', 'nm'),
    tolerance: null,
    at: null,
    theme,
  })
  const lines = chart.config.data.datasets.filter((set) => set.pointRadius === 0)
  const dots = chart.config.data.datasets.filter((set) => set.showLine === false)
  expect(new Set(lines.map((set) => JSON.stringify(set.borderDash))).size).toBe(3)
  expect(new Set(dots.map((set) => set.pointStyle)).size).toBe(3)
  expect(chart.stops[1]!.words).toBe('At 4000 rpm: A 1342.4, B 1342.4, C 1342.4 nm')
})

test('no lot is hidden by another: that of the fewest runs lies on top, and the others show through', () => {
  const chart = lotsChart({
    curves: ['A', 'B'].map((group) => ({ ...curve, group })),
    runs: [...runs, ...runs, ...runs, runs[0]!].map((run, i) => ({ ...run, group: i < 6 ? 'A' : 'B' })),
    shown: shownResponse('thickness', 'nm'),
    tolerance: null,
    at: null,
    theme,
  })
  const dots = chart.config.data.datasets.filter((set) => set.showLine === false && set.data.length > 0)
  const [ofA, ofAExcluded, ofB] = dots.map(({ order }) => order ?? 0)
  // Chart.js draws from the highest order down; lines have 1.
  expect(ofA).toBe(ofAExcluded)
  expect(ofB).toBeLessThan(ofA!)
  expect(ofA).toBeLessThan(1)
  expect(dots[0]?.pointBackgroundColor).toMatch(/0\.5\)$/)
})

test('the spin program is drawn to scale and names its time at speed', () => {
  const chart = programChart({
    profile: [
      { time: 0, rpm: 0 },
      { time: 3, rpm: 3000 },
      { time: 30, rpm: 3000 },
    ],
    segments: [{ from: 0, to: 3000, ramp: 1000, time: 30, rampTime: 3, timeAtSpeed: 27 }],
    theme,
  })
  expect(chart.config.data.datasets[0]!.data).toEqual([
    { x: 0, y: 0 },
    { x: 3, y: 3000 },
    { x: 30, y: 3000 },
  ])
  const guides = chart.config.options!.plugins!.annotation!.annotations as Record<string, object>
  expect(guides.dwell0).toMatchObject({ xValue: 16.5, content: '3000 rpm, 27.0 s at speed' })
})

test('the surface fills the plot from its lowest value and outlines the tolerance', () => {
  const surface = {
    x: { name: 'speed', unit: 'rpm', low: 2000, high: 4000 },
    y: { name: 'bake', unit: '°C', low: 90, high: 110 },
    columns: 3,
    rows: 2,
    values: [1900, 1500, 1300, 1880, 1490, 1290],
  }
  const shown = shownResponse('thickness', 'nm')
  const chart = contourChart({
    surface,
    runs: [],
    shown,
    tolerance: { target: 1500, tolerance: 30 },
    at: { x: 3000, y: 100 },
    chances: null,
    recipe: null,
    theme,
  })
  expect(contourKey({ surface, shown })).toMatchObject({ low: 1290, high: 1900, unit: 'nm' })
  expect(chart.stops).toHaveLength(6)
  expect(chart.stops[0]!.words).toContain('speed 2000 rpm, bake 90 °C')
  expect(chart.config.plugins).toHaveLength(1)
})

test('the region with the asked chance is outlined at its place, and the recipe ringed on it', () => {
  const axes = {
    x: { name: 'speed', unit: 'rpm', low: 2000, high: 4000 },
    y: { name: 'bake', unit: '°C', low: 90, high: 110 },
  }
  // The chance falls evenly from 1 at 3000 rpm to 0 at the ends: 0.5 is crossed at 2500 and at 3500 rpm.
  const [columns, rows] = [41, 21]
  const chance = Array.from({ length: columns * rows }, (_, i) => 1 - Math.abs((i % columns) - 20) / 20)
  const surface = { ...axes, columns, rows, values: chance.map((_, i) => 2000 - 20 * (i % columns)) }
  const chart = contourChart({
    surface,
    runs: [],
    shown: shownResponse('thickness', 'nm'),
    tolerance: null,
    at: null,
    chances: { map: { ...axes, columns, rows, values: chance }, asked: 0.5 },
    recipe: { x: 3000, y: 100 },
    theme,
  })
  const svg = chartAsSvg(chart, { width: 600, height: 300, name: 'map', ground: null, measure: textWidth })
  expect(svg).toContain('>50 % in tolerance<')
  const tick = (value: number) => Number(new RegExp(` x="([\\d.]+)"[^>]*>${value}<`).exec(svg)?.[1])
  const place = (value: number) => tick(2000) + ((value - 2000) / 2000) * (tick(4000) - tick(2000))
  const outline = /<path d="([^"]+)" fill="none" stroke="#111111" stroke-width="2.5"[^>]*\/>/.exec(svg)?.[1]
  const across = [...outline!.matchAll(/[ML]([\d.-]+) ([\d.-]+)/g)]
    .filter(([, , y]) => Number(y) > 60 && Number(y) < 200)
    .map(([, x]) => Number(x))
  expect(across.length).toBeGreaterThan(10)
  for (const x of across)
    expect(Math.min(Math.abs(x - place(2500)), Math.abs(x - place(3500)))).toBeLessThan(0.6)
  const rings = chart.config.data.datasets.filter(({ data }) => data.some((point) => point.x === 3000))
  expect(rings).toHaveLength(4)
})

test('the ledger draws what was measured about what was predicted, and marks what fell outside', () => {
  const entry = { code: 'W01', session: 'Day 1', estimate: 1500, lower: 1480, upper: 1520 }
  const chart = ledgerChart({
    entries: [
      { ...entry, measured: 1508, inside: true },
      { ...entry, code: 'W02', session: null, measured: 1470, inside: false },
    ],
    shown: inMicrometres,
    theme,
  })!
  expect(chart.table.rows).toEqual([
    ['W01, Day 1', '+0.008', '−0.020 to +0.020', 'yes'],
    ['W02', '−0.030', '−0.020 to +0.020', 'no'],
  ])
  const [inside, outside] = chart.config.data.datasets.slice(-2)
  expect(inside?.data).toMatchObject([{ x: 1 }])
  expect(outside).toMatchObject({ pointStyle: 'triangle', data: [{ x: 2 }] })
  expect(ledgerChart({ entries: [], shown: inMicrometres, theme })).toBeNull()
})

describe('residuals', () => {
  const inputs = {
    runs: [2, -1, 0.5, -1.5, 0].map((residual, k) => ({
      code: `W0${k}`,
      runOrder: 5 - k,
      fitted: 1500 + k,
      residual,
      studentized: residual / 1.2,
    })),
    axes: { fitted: 'fitted (nm)', residual: 'residual (%)', decimals: 2 },
    theme,
  }

  test('stand at their run order, and the crosshair goes from left to right', () => {
    const chart = residualsInRunOrder(inputs)
    expect(chart.config.data.datasets[0]!.data[0]).toEqual({ x: 5, y: 2 })
    expect(chart.stops.map((stop) => stop.x)).toEqual([1, 2, 3, 4, 5])
  })

  test('the normal line goes through the quartiles', () => {
    const chart = normalScoresChart(inputs)
    const through = chart.config.data.datasets[1]!.data
    expect(through).toHaveLength(2)
    expect(through[1]!.y).toBeGreaterThan(through[0]!.y)
  })
})

test('marks that would cover what lies below them are small', () => {
  const radius = (count: number) =>
    marks(theme, Array(count).fill({ x: 1, y: 1 }), { pointRadius: 6 }).pointRadius
  expect([radius(crowd - 1), radius(crowd)]).toEqual([6, 2])
})

test('labels at line ends keep their order and their distance', () => {
  expect(spread([100, 104, 50], 16, 400)).toEqual([100, 116, 50])
  expect(spread([395, 398], 16, 400)).toEqual([384, 400])
})

test('an axis of nothing runs from 0 to 1, of one value around it', () => {
  expect(extent([], 0)).toEqual([0, 1])
  expect(extent([200], 0.06)).toEqual([190, 210])
})

test('residuals against a factor leave out the runs whose setting is not known', () => {
  const residual = { runOrder: 1, fitted: 1500, studentized: 0.5 }
  const chart = residualsAgainstFactor({
    runs: [
      { ...residual, code: 'W01', residual: 3 },
      { ...residual, code: 'W02', residual: -2 },
    ],
    axes: { fitted: 'fitted thickness (nm)', residual: 'residual (nm)', decimals: 1 },
    factor: 'bake',
    unit: '°C',
    settings: [100, null],
    theme,
  })
  expect(chart.config.data.datasets[0]!.data).toEqual([{ x: 100, y: 3 }])
  expect(chart.table.columns[1]).toBe('bake (°C)')
})

test('a logarithmic axis has round ticks that do not crowd, within a decade and over several', () => {
  expect(logarithmicTicks(1210, 2010)).toEqual([1400, 1600, 1800, 2000])
  expect(logarithmicTicks(90, 6000)).toEqual([100, 200, 500, 1000, 2000, 5000])
})

test('no two of the first six series differ by hue alone, and the words name the mark', () => {
  const styles = Array.from({ length: 6 }, (_, k) => groupStyle(theme, k))
  for (const of of ['mark', 'markInWords', 'dash'] as const)
    expect(new Set(styles.map((style) => String(style[of]))).size).toBe(6)
})
