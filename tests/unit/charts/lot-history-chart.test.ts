import { expect, test } from 'vitest'
import { chartAsSvg } from '../../../shared/charts/drawn-chart.ts'
import { lotHistoryChart } from '../../../shared/charts/lot-history-chart.ts'
import { textWidth } from '../../../shared/charts/svg/text-width.ts'
import { plainTheme } from './plain-theme.ts'

const lot = (name: string, day: string, ratio: number, daysHeldApart = true) => ({
  studyId: '00000000-0000-4000-8000-000000000000',
  study: 'K-15',
  day,
  lot: name,
  reference: 'A',
  runs: 6,
  ratio,
  lower: ratio - 0.005,
  upper: ratio + 0.005,
  daysHeldApart,
})

test('lots by day, whatever their order, with their intervals in percent and the margin around no shift', () => {
  const lots = [lot('C', '2026-04-01', 0.987, false), lot('B', '2026-03-01', 1.018)]
  const chart = lotHistoryChart({ lots, margin: 0.0067, theme: plainTheme })
  expect(chart?.table.rows.map(([day, name, , shift, interval]) => [day, name, shift, interval])).toEqual([
    ['2026-03-01', 'B', '+1.80', '+1.30 to +2.30'],
    ['2026-04-01', 'C (days may be in it)', '\u22121.30', '\u22121.80 to \u22120.80'],
    ['', 'margin', '', '\u22120.67 to +0.67'],
  ])
  expect((chart?.stops[1]?.x ?? 0) - (chart?.stops[0]?.x ?? 0)).toBe(31)
  expect(chart?.stops[1]?.words).toContain('days may be in it')
  const svg =
    chart && chartAsSvg(chart, { width: 600, height: 300, name: 'a', ground: null, measure: textWidth })
  expect(svg).toContain('>margin ±0.67 %<')
  expect(lotHistoryChart({ lots: [lot('B', '', 1.01)], margin: null, theme: plainTheme })).toBeNull()
})
