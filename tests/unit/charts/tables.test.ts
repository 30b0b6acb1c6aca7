import { describe, expect, test } from 'vitest'
import type { Chart } from '../../../shared/charts/chart.ts'
import { curveChart } from '../../../shared/charts/curve-chart.ts'
import { fixed, shownResponse } from '../../../shared/charts/format.ts'
import { charts, curve, run, surface } from './drawn-charts.ts'
import { plainTheme as theme } from './plain-theme.ts'

/**
 * Every chart is read as a table too: what is drawn is compared with what stands there, number by number, to the digits
 * that are shown.
 */

/** A number as it is written, with its decimals. */
const written = /[+\u2212]?\d+(?:\.\d+)?/g
type Written = { value: number; decimals: number }
function numbersIn(cell: string): Written[] {
  return [...cell.matchAll(written)].map(([text]) => ({
    value: Number(text.replace('\u2212', '-')),
    decimals: text.split('.')[1]?.length ?? 0,
  }))
}
const says = ({ value, decimals }: Written, drawn: number) =>
  fixed(drawn, decimals) === fixed(value, decimals) || Math.abs(value - drawn) <= 1e-9 * Math.abs(drawn)
/** Six digits of a setting may say less than its decimals: 3137.5 of 3137.4999. */
const saysNearly = (cell: string, drawn: number) =>
  numbersIn(cell).some((one) => says(one, drawn) || Math.abs(one.value - drawn) <= 6e-5 * Math.abs(drawn))

type Guide = { scaleID?: string; value?: number; yMin?: number; yMax?: number }
const guidesOf = ({ config }: Chart): number[] =>
  Object.values((config.options?.plugins?.annotation?.annotations ?? {}) as Record<string, Guide>).flatMap(
    ({ value, scaleID }) => (value === undefined || scaleID === undefined ? [] : [value]),
  )
const pointsOf = ({ config }: Chart) => config.data.datasets.flatMap(({ data }) => data)

describe.each(charts)('the table of $name', ({ chart, named, sampled }) => {
  test('has a cell for every column of every row, and nothing that is no number', () => {
    expect(chart.table.rows.length).toBeGreaterThan(0)
    for (const row of chart.table.rows) {
      expect(row).toHaveLength(chart.table.columns.length)
      expect(row.join(' ')).not.toMatch(/NaN|undefined|Infinity|null/)
    }
  })

  test('holds all that is drawn: each point in one row, each guide somewhere', () => {
    const { rows } = chart.table
    // Of the lines of the profile it has every tenth point.
    const points = sampled
      ? chart.config.data.datasets.filter(({ showLine }) => showLine === false).flatMap(({ data }) => data)
      : pointsOf(chart)
    const isZero = (value: number) => value === 0
    for (const { x, y } of points) {
      const wanted = [...(named === 'x' ? [] : [x]), ...(named === 'y' ? [] : [y])]
      const found = rows.some((row) => wanted.every((value) => row.some((cell) => saysNearly(cell, value))))
      if (!found) expect([x, y].some(isZero) || `${x}, ${y} stands in no row`).toBe(true)
    }
    for (const guide of guidesOf(chart))
      if (!isZero(guide))
        expect(
          rows.flat().some((cell) => saysNearly(cell, guide)),
          String(guide),
        ).toBe(true)
  })

  test('holds no number that is not drawn', () => {
    const drawn = [...pointsOf(chart).flatMap(({ x, y }) => [x, y]), ...guidesOf(chart)]
    const stops = chart.stops.flatMap(({ x, y }) => [x, ...(y === undefined ? [] : [y])])
    for (const row of chart.table.rows)
      for (const cell of row.slice(1)) {
        if (!/^[+\u2212\d][\d.]*(?: to [+\u2212]?[\d.]+)?$/.test(cell)) continue
        for (const number of numbersIn(cell))
          expect(
            [...drawn, ...stops, ...known(chart)].some(
              (value) => says(number, value) || saysNearly(cell, value),
            ),
            `${cell} in ${row.join(' | ')}`,
          ).toBe(true)
      }
  })
})

/** What a chart draws from its layers, or says of what it draws: values of the surface and its levels, times of a program. */
function known(chart: Chart): number[] {
  if (chart === charts.find(({ name }) => name === 'the contours')?.chart) {
    const levels = [1.4, 1.5, 1.6, 1.7, 1.8, 1.9, 1.3]
    return [...surface.values, 1903.2].map((nm) => nm / 1000).concat(levels, [1.47, 1.53])
  }
  if (chart === charts.find(({ name }) => name === 'the spin program')?.chart)
    return [1000, 30, 2.5, 27.5, 4.5]
  return []
}

test('a test that cannot fail is none: a table with one wrong digit is found', () => {
  const [first] = charts
  const rows = first?.chart.table.rows.map((row) => [...row]) ?? []
  expect(rows[0]?.[2]).toBe('1.9344')
  expect(saysNearly('1.9344', 1.9344321)).toBe(true)
  expect(saysNearly('1.9346', 1.9344321)).toBe(false)
  expect(says({ value: -0.02, decimals: 2 }, -0.0204)).toBe(true)
  expect(says({ value: -0.02, decimals: 2 }, -0.026)).toBe(false)
})

test('a run left out far from the others stands at the edge of the plot, and in the table with its own value', () => {
  const chart = curveChart({
    curve,
    runs: [run('W01', 2000, 1941), run('W02', 3000, 0, 'half read'), run('W03', 3000, 1800, 'lid open')],
    shown: shownResponse('thickness', 'nm'),
    tolerance: null,
    level: 0.95,
    at: null,
    theme,
  })
  const { min, max } = (chart.config.options?.scales?.y ?? {}) as { min: number; max: number }
  // The band goes from 1319.5 to 1949.4 nm.
  expect(min).toBeGreaterThan(1200)
  expect(max).toBeLessThan(2100)
  const [near, below] = chart.config.data.datasets.slice(6)
  expect(near?.data).toEqual([{ x: 3000, y: 1800 }])
  expect(below).toMatchObject({ pointStyle: 'triangle', pointRotation: 180, data: [{ x: 3000, y: min }] })
  expect(chart.table.rows.find(([name]) => name === 'W02 (left out)')).toEqual([
    'W02 (left out)',
    '3000',
    '0.0',
    '',
    '',
    '',
    '',
  ])
})
