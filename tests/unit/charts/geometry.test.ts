import { describe, expect, test } from 'vitest'
import type { Chart } from '../../../shared/charts/chart.ts'
import { contourChart } from '../../../shared/charts/contour-chart.ts'
import { curveChart } from '../../../shared/charts/curve-chart.ts'
import { driftChart } from '../../../shared/charts/drift-chart.ts'
import { shownResponse } from '../../../shared/charts/format.ts'
import { intervalChart } from '../../../shared/charts/interval-chart.ts'
import { lotsChart } from '../../../shared/charts/lots-chart.ts'
import { profileChart } from '../../../shared/charts/profile-chart.ts'
import { quietest } from '../../../shared/charts/quiet-labels.ts'
import type { DriftSeries } from '../../../shared/contract/results/drift.ts'
import { plainTheme as theme } from './plain-theme.ts'
import { drawnAs, middleOf, pathsWith, placesOn } from './svg-places.ts'

/** What is drawn lies at the px that its value has on the axes; known values, rounded to half a px. */
const near = 0.5
const nm = shownResponse('thickness', 'nm')

function axesOf(svg: string) {
  return { x: placesOn(svg, 'x'), y: placesOn(svg, 'y') }
}

/** Whether one of the paths is a level line at this height. */
const levelAt = (paths: [number, number][][], height: number) =>
  paths.some((path) => path.length > 1 && path.every(([, y]) => Math.abs(y - height) < near))

describe('the curve', () => {
  const points = [2000, 3000, 4000].map((x) => ({
    x,
    estimate: 2000 - x / 4,
    confidence: [1990 - x / 4, 2010 - x / 4] as [number, number],
    prediction: [1950 - x / 4, 2050 - x / 4] as [number, number],
  }))
  const given = {
    curve: { factor: 'speed', unit: 'rpm', points },
    runs: [
      { code: 'W01', x: 2400, y: 1310, excluded: null },
      { code: 'W02', x: 3600, y: 1180, excluded: 'lid open' },
    ],
    shown: nm,
    tolerance: { target: 1250, tolerance: 50 },
    at: 2600,
    theme,
  }
  const svg = drawnAs(curveChart({ ...given, level: 0.95 }))
  const { x, y } = axesOf(svg)

  test('the edges of the band of the next run, and the filled bands between theirs', () => {
    const edges = pathsWith(svg, 'stroke="#0a6468"', 'stroke-dasharray="4 3"')
    expect(edges).toHaveLength(2)
    for (const [k, side] of [50, -50].entries())
      points.forEach((point, i) => {
        const [atX, atY] = (edges as [number, number][][])
          .map((edge) => edge[i] as [number, number])
          .sort((a, b) => a[1] - b[1])[k] as [number, number]
        expect(Math.abs(atX - x(point.x))).toBeLessThan(near)
        expect(Math.abs(atY - y(2000 - point.x / 4 + side))).toBeLessThan(near)
      })
    const filled = pathsWith(svg, 'fill="#0a6468"', 'fill-opacity').map((path) => path.map(([, at]) => at))
    for (const [high, low] of [
      [2010 - 500, 1990 - 1000],
      [2050 - 500, 1950 - 1000],
    ] as const)
      expect(
        filled.some(
          (ys) => Math.abs(Math.min(...ys) - y(high)) < near && Math.abs(Math.max(...ys) - y(low)) < near,
        ),
      ).toBe(true)
  })

  test('target, limits and working point', () => {
    const solid = pathsWith(svg, 'stroke="#111111"', 'stroke-width="1"')
    for (const value of [1200, 1250, 1300]) expect(levelAt(solid, y(value))).toBe(true)
    const upright = pathsWith(svg, 'stroke="#555555"', 'stroke-dasharray="6 4"')
    expect(upright).toHaveLength(1)
    for (const [at] of upright[0] ?? []) expect(Math.abs(at - x(2600))).toBeLessThan(near)
  })

  test('runs stand at their place, those left out hollow', () => {
    const filled = pathsWith(svg, 'fill="#14191b"').map(middleOf)
    const all = pathsWith(svg, 'fill="none"', 'stroke="#14191b"').map(middleOf)
    expect(filled).toHaveLength(1)
    expect(all).toHaveLength(2)
    expect(filled[0]?.[0]).toBeCloseTo(x(2400), 0)
    expect(filled[0]?.[1]).toBeCloseTo(y(1310), 0)
    const hollow = all.find(([at]) => Math.abs(at - x(3600)) < near)
    expect(hollow?.[1]).toBeCloseTo(y(1180), 0)
  })

  test('the same working point stands in the curves of the lots', () => {
    const lots = drawnAs(
      lotsChart({
        ...given,
        curves: [{ ...given.curve, group: 'A' }],
        runs: [],
      }),
    )
    const upright = pathsWith(lots, 'stroke="#555555"', 'stroke-dasharray="6 4"')
    for (const [at] of upright[0] ?? []) expect(Math.abs(at - axesOf(lots).x(2600))).toBeLessThan(near)
    expect(lots).toContain('>2600 rpm<')
  })

  test('the name of the tolerance covers no line and no mark', () => {
    const words =
      /<path d="M([\d.]+) ([\d.]+)L([\d.]+) [\d.]+L[\d.]+ ([\d.]+)[^"]*" fill="rgb\(255,255,255\)"[^>]*\/><text[^>]*>target/
    const [left, top, right, bottom] = (words.exec(svg) ?? []).slice(1).map(Number) as [
      number,
      number,
      number,
      number,
    ]
    expect(right - left).toBeGreaterThan(60)
    // The line is straight: it lies above the box or below it over the whole of its width.
    const value = (at: number) => 2000 - (2000 + ((at - x(2000)) / (x(4000) - x(2000))) * 2000) / 4
    const heights = [left, right].map((at) => y(value(at)))
    expect(heights.every((at) => at < top) || heights.every((at) => at > bottom)).toBe(true)
  })
})

test('the quietest place is the first without trouble, else that with least', () => {
  const box = (left: number) => ({ left, top: 0, width: 20, height: 10 })
  expect(quietest([box(0), box(50)], [{ x: 10, y: 5 }], [])).toEqual(box(50))
  expect(quietest([box(0), box(50)], [{ x: 10, y: 5 }], [box(50)])).toEqual(box(0))
  expect(quietest([], [], [])).toBeNull()
})

test('contour lines, the limits of the tolerance, runs and the cross lie where a plane has their values', () => {
  // 2000 nm at 2000 rpm, 1200 nm at 4000 rpm, at every bake: 1500 nm is at 3250 rpm.
  const [columns, rows] = [41, 21]
  const values = Array.from({ length: columns * rows }, (_, i) => 2000 - 20 * (i % columns))
  const svg = drawnAs(
    contourChart({
      surface: {
        x: { name: 'speed', unit: 'rpm', low: 2000, high: 4000 },
        y: { name: 'bake', unit: '°C', low: 90, high: 110 },
        columns,
        rows,
        values,
      },
      runs: [{ code: 'W01', x: 2500, y: 95, value: 1800, excluded: null }],
      shown: nm,
      tolerance: { target: 1500, tolerance: 40 },
      at: { x: 3000, y: 100 },
      chances: null,
      recipe: null,
      theme,
    }),
  )
  const { x, y } = axesOf(svg)
  const speedOf = (value: number) => 2000 + (2000 - value) * 2.5
  const inside = ([, at]: [number, number]) => at > y(109) && at < y(91)
  const limits = pathsWith(svg, 'stroke="#111111"', 'stroke-dasharray="7 4"')
  expect(limits).toHaveLength(2)
  for (const [k, value] of [1460, 1540].entries())
    for (const [at] of (limits[k] ?? []).filter(inside))
      expect(Math.min(Math.abs(at - x(speedOf(value))), Math.abs(at - x(2000)))).toBeLessThan(near + 12)
  const right = limits.map((path) => Math.max(...path.filter(inside).map(([at]) => at)))
  expect(right[0]).toBeCloseTo(x(speedOf(1460)), 0)
  expect(right[1]).toBeCloseTo(x(speedOf(1540)), 0)
  const lines = pathsWith(svg, 'stroke="#ffffff"', 'stroke-width="0.75"')
  const ends = lines.map((path) => Math.max(...path.filter(inside).map(([at]) => at)))
  for (const value of [1300, 1400, 1500, 1600, 1700, 1800, 1900])
    expect(ends.some((at) => Math.abs(at - x(speedOf(value))) < near)).toBe(true)
  const [runX, runY] = middleOf(pathsWith(svg, 'fill="#111111"')[0] ?? [])
  expect(runX).toBeCloseTo(x(2500), 0)
  expect(runY).toBeCloseTo(y(95), 0)
  const cross = pathsWith(svg, 'stroke="#111111"', 'stroke-width="2.5"').filter((path) => path.length === 4)
  expect(middleOf(cross[0] ?? [])[0]).toBeCloseTo(x(3000), 0)
  expect(middleOf(cross[0] ?? [])[1]).toBeCloseTo(y(100), 0)
})

test('intervals reach from end to end at the height of their name, with the mark on their value', () => {
  const row = (name: string, value: number, strong: boolean) => ({
    name,
    value,
    low: value - 1,
    high: value + 1.5,
    words: '',
    strong,
  })
  const svg = drawnAs(
    intervalChart({
      rows: [row('first', -5, true), row('second', 0.4, false)],
      label: '',
      title: 'estimate',
      guides: [{ at: 0, words: 'zero' }],
      names: { row: 'term', strong: 'told' },
      decimals: 1,
      theme,
    }),
  )
  const x = placesOn(svg, 'x')
  const heightOf = (name: string) =>
    Number(new RegExp(` y="([\\d.]+)"[^>]*>${name}<`).exec(svg)?.[1]) - 0.35 * 13
  const bars = pathsWith(svg, 'stroke="#111111"', 'stroke-width="2"')
  for (const [name, value] of [
    ['first', -5],
    ['second', 0.4],
  ] as const) {
    const bar = bars.find((path) => Math.abs((path[0]?.[1] ?? 0) - heightOf(name)) < near) ?? []
    expect(bar[0]?.[0]).toBeCloseTo(x(value - 1), 0)
    expect(bar.at(-1)?.[0]).toBeCloseTo(x(value + 1.5), 0)
    const mark = pathsWith(svg, 'stroke="#14191b"')
      .map(middleOf)
      .find(([, at]) => Math.abs(at - heightOf(name)) < near)
    expect(mark?.[0]).toBeCloseTo(x(value), 0)
  }
})

test('the profile and its wedges, and each site at its distance', () => {
  const shape = { bowl: 0.01, ring: 0, wedgeX: 0.004, wedgeY: 0, wedge: 0.004, wedgeDirection: 0, rest: 0 }
  const film = (u: number, v: number) => 1500 * (1 + 0.01 * (2 * (u * u + v * v) - 1) + 0.004 * u)
  const sites = [
    [0, 0],
    [20, 0],
    [-20, 0],
    [0, 40],
    [0, -40],
  ].map(([xMm, yMm], k) => ({
    name: `site ${k}`,
    xMm: xMm as number,
    yMm: yMm as number,
    value: film((xMm as number) / 50, (yMm as number) / 50),
    excluded: null,
  }))
  const svg = drawnAs(profileChart({ sites, shape, radiusMm: 50, unit: 'nm', decimals: 1, theme }))
  const { x, y } = axesOf(svg)
  const [line] = pathsWith(svg, 'stroke="#0a6468"', 'stroke-width="2"')
  expect(line?.[0]?.[1]).toBeCloseTo(y(1500 * 0.99), 0)
  expect(line?.at(-1)?.[1]).toBeCloseTo(y(1500 * 1.01), 0)
  expect(line?.at(-1)?.[0]).toBeCloseTo(x(50), 0)
  const wedges = pathsWith(svg, 'stroke="#555555"', 'stroke-dasharray="4 3"')
    .map((path) => path.at(-1)?.[1] ?? 0)
    .sort((one, other) => one - other)
  expect(wedges[0]).toBeCloseTo(y(1500 * 1.014), 0)
  expect(wedges[1]).toBeCloseTo(y(1500 * 1.006), 0)
  const marks = pathsWith(svg, 'fill="#14191b"').map(middleOf)
  expect(marks).toHaveLength(5)
  for (const { xMm, yMm, value } of sites)
    expect(
      marks.some(
        ([atX, atY]) => Math.abs(atX - x(Math.hypot(xMm, yMm))) < near && Math.abs(atY - y(value)) < near,
      ),
    ).toBe(true)
})

test('drift: readings, limits from the first reading that they are for, the alarm as a triangle', () => {
  const readings = [1499, 1507, 1516, 1503]
  const series = {
    chart: {
      scale: 'linear',
      limits: {
        centre: 1500,
        lower: 1490,
        upper: 1510,
        sigma: 3,
        meanMovingRange: 4,
        movingRangeUpper: 13,
        from: 1,
      },
      readings: readings.map((value) => ({ value, movingRange: null, average: null })),
      alarms: [{ reading: 3, rule: 'beyondLimits', side: 'above', words: 'Beyond.' }],
    },
  } as unknown as DriftSeries
  const svg = drawnAs(
    driftChart({
      series,
      view: 'readings',
      readings: readings.map(() => ({ day: '', session: '' })) as never,
      events: [{ id: 'e', kind: 'other', text: 'new bottle', before: 2 }] as never,
      shown: nm,
      theme,
    }) as Chart,
  )
  const { x, y } = axesOf(svg)
  const dashed = pathsWith(svg, 'stroke="#111111"', 'stroke-dasharray="6 4"')
  expect(dashed).toHaveLength(2)
  for (const value of [1490, 1510]) expect(levelAt(dashed, y(value))).toBe(true)
  expect(levelAt(pathsWith(svg, 'stroke="#111111"', 'stroke-width="1"'), y(1500))).toBe(true)
  const marks = pathsWith(svg, 'fill="#14191b"').map(middleOf)
  expect(marks).toHaveLength(3)
  expect(marks[0]?.[0]).toBeCloseTo(x(1), 0)
  expect(marks[1]?.[1]).toBeCloseTo(y(1507), 0)
  const [triangle] = pathsWith(svg, 'stroke="#a8200d"')
  expect(middleOf(triangle ?? [])[0]).toBeCloseTo(x(3), 0)
  const [event] = pathsWith(svg, 'stroke="#555555"', 'stroke-dasharray="6 4"')
  for (const [at] of event ?? []) expect(Math.abs(at - x(2.5))).toBeLessThan(near)
})
