import { expect, test } from 'vitest'
import { chartAsSvg } from '../../../shared/charts/drawn-chart.ts'
import { intervalChart } from '../../../shared/charts/interval-chart.ts'
import { textWidth } from '../../../shared/charts/svg/text-width.ts'
import { plainTheme as theme } from './plain-theme.ts'

const row = (name: string, value: number, half: number) => ({
  name,
  value,
  low: value - half,
  high: value + half,
  words: `${name}: ${value}`,
  strong: Math.abs(value) > half,
})
const rows = [row('log(speed)', -5, 1), row('bake^2', 0.4, 1)]
const chart = intervalChart({
  rows,
  label: 'Two terms.',
  title: 'estimate',
  guides: [{ at: 0, words: 'nothing' }],
  names: { row: 'term', strong: 'told from nothing' },
  decimals: 2,
  theme,
})

test('each value lies on its interval at its own height, the first on top', () => {
  const [first, second, strong, weak] = chart.config.data.datasets
  expect(first!.data).toEqual([
    { x: -6, y: 2 },
    { x: -4, y: 2 },
  ])
  expect(second!.data).toEqual([
    { x: -0.6, y: 1 },
    { x: 1.4, y: 1 },
  ])
  expect(strong!.data).toEqual([{ x: -5, y: 2 }])
  expect(weak!.data).toEqual([{ x: 0.4, y: 1 }])
  expect(weak!.pointBackgroundColor).toBe(theme.ground)
})

test('the rows are named on the axis, without numbers, and told by the crosshair', () => {
  const svg = chartAsSvg(chart, { width: 500, height: 200, name: 'a', ground: null, measure: textWidth })
  const heightOf = (words: string) => Number(new RegExp(` y="([\\d.]+)"[^>]*>${words}<`).exec(svg)?.[1])
  expect(heightOf('log\\(speed\\)')).toBeLessThan(heightOf('bake\\^2'))
  expect(svg).not.toMatch(/>1\.5</)
  expect(chart.stops.map(({ words }) => words)).toEqual(['log(speed): -5', 'bake^2: 0.4'])
})

test('an interval without an end reaches the edge of the plot', () => {
  const open = intervalChart({
    rows: [{ ...rows[0]!, high: null }, rows[1]!],
    label: '',
    title: '',
    guides: [],
    names: { row: '', strong: '' },
    decimals: 2,
    theme,
  })
  const { max } = open.config.options!.scales!.x as { max: number }
  expect(open.config.data.datasets[0]!.data[1]!.x).toBe(max)
})
