import type { Chart } from '../../../shared/charts/chart.ts'
import { checkChart } from '../../../shared/charts/check-chart.ts'
import { contourChart } from '../../../shared/charts/contour-chart.ts'
import { curveChart } from '../../../shared/charts/curve-chart.ts'
import { driftChart } from '../../../shared/charts/drift-chart.ts'
import { shownResponse } from '../../../shared/charts/format.ts'
import { intervalChart } from '../../../shared/charts/interval-chart.ts'
import { ledgerChart } from '../../../shared/charts/ledger-chart.ts'
import { lotHistoryChart } from '../../../shared/charts/lot-history-chart.ts'
import { lotsChart } from '../../../shared/charts/lots-chart.ts'
import { profileChart } from '../../../shared/charts/profile-chart.ts'
import { programChart } from '../../../shared/charts/program-chart.ts'
import {
  normalScoresChart,
  residualsAgainstFactor,
  residualsAgainstFitted,
  residualsInRunOrder,
} from '../../../shared/charts/residual-charts.ts'
import { traceChart } from '../../../shared/charts/trace-chart.ts'
import type { DriftSeries } from '../../../shared/contract/results/drift.ts'
import type { CheckLogResult } from '../../../shared/contract/results/gauge.ts'
import type { StepHeight } from '../../../shared/contract/results/trace.ts'
import { plainTheme as theme } from './plain-theme.ts'

const shown = shownResponse('thickness', 'µm')
export const curve = {
  factor: 'speed',
  unit: 'rpm',
  points: [2000, 3137.5, 4000].map((x, k) => {
    const estimate = 1934.4321 - 300 * k
    const of = (half: number): [number, number] => [estimate - half, estimate + half]
    return { x, estimate, confidence: of(4.77), prediction: of(14.93) }
  }),
}
export const run = (code: string, x: number, y: number, excluded: string | null = null) => ({
  code,
  x,
  y,
  excluded,
})
const tolerance = { target: 1500, tolerance: 30 }
export const surface = {
  x: { name: 'speed', unit: 'rpm', low: 2000, high: 4000 },
  y: { name: 'bake', unit: '°C', low: 90, high: 110 },
  columns: 3,
  rows: 2,
  values: [1901.3, 1502.2, 1303.9, 1880.4, 1490.8, 1290.1],
}
const residualRuns = [2.11, -1.27, 0.53, -1.58, 0.04].map((residual, k) => ({
  code: `W0${k}`,
  runOrder: 5 - k,
  fitted: 1500.25 + 17 * k,
  residual,
  studentized: residual / 1.2,
}))
const residuals = {
  runs: residualRuns,
  axes: { fitted: 'fitted (nm)', residual: 'residual (%)', decimals: 2 },
  theme,
}
const limits = {
  centre: 1500.2,
  lower: 1488.4,
  upper: 1512.9,
  sigma: 4.1,
  meanMovingRange: 4.6,
  movingRangeUpper: 15.1,
  from: 2,
  to: 3,
  points: 2,
  provisional: true,
}
const series = {
  chart: {
    scale: 'linear',
    limits,
    readings: [
      { value: 1499.3, movingRange: null, average: null },
      { value: 1507.7, movingRange: 8.4, average: { value: 1501.7, lower: 1497.7, upper: 1502.7 } },
      { value: 1516.1, movingRange: 8.4, average: { value: 1504.6, lower: 1497.1, upper: 1503.3 } },
    ],
    alarms: [{ reading: 3, rule: 'beyondLimits', side: 'above', words: 'Beyond the limits.' }],
  },
} as unknown as DriftSeries
const drift = (view: 'readings' | 'average' | 'ranges') =>
  driftChart({
    series,
    view,
    readings: [1, 2, 3].map((day) => ({ day: `2026-03-0${day}`, session: '' })) as never,
    events: [],
    shown,
    theme,
  }) as Chart
const log = {
  days: [1499.31, 1501.22, 1508.73].map((mean, k) => ({
    day: `2026-03-0${k + 1}`,
    mean,
    alarms: k === 2 ? ['beyond'] : [],
  })),
  nominal: 1500,
  limits: { centre: 1500.3, low: 1497.2, high: 1503.4, days: 2 },
  longTerm: { value: 1.02 },
} as unknown as CheckLogResult
const step = {
  kind: 'groove',
  step: -402.5,
  slope: 0.11,
  bow: null,
  level: { at: 100, height: 12.3 },
  regions: { left: [10, 60], middle: [90, 110], right: [140, 190] },
} as unknown as StepHeight
const positions = Array.from({ length: 21 }, (_, k) => 10 * k)
const trace = (levelled: boolean) =>
  traceChart({
    positions,
    heights: positions.map((x) => 12.3 + 0.11 * (x - 100) + (x > 70 && x < 130 ? -402.5 : 0.37)),
    found: step,
    levelled,
    theme,
  })
const lot = (name: string, day: string, ratio: number) => ({
  studyId: '00000000-0000-4000-8000-000000000000',
  study: 'K-15',
  day,
  lot: name,
  reference: 'A',
  runs: 6,
  ratio,
  lower: ratio - 0.0052,
  upper: ratio + 0.0061,
  daysHeldApart: true,
})
const sites = [
  [0, 0, 1502.3],
  [20, 0, 1507.1],
  [0, 35, 1511.9],
].map(([xMm, yMm, value], k) => ({
  name: `site ${k + 1}`,
  xMm: xMm as number,
  yMm: yMm as number,
  value: value as number,
  excluded: k === 2 ? 'particle' : null,
}))
const shape = { bowl: 0.011, ring: 0, wedgeX: 0.004, wedgeY: 0, wedge: 0.004, wedgeDirection: 0, rest: 0 }

/** Where the number of a drawn point stands on the axis for a name or a day, so that only the other one is in the table. */
type Named = 'x' | 'y' | null
/** Every kind of chart, drawn of invented numbers; of one that is `sampled` the table has every tenth point. */
export const charts: { name: string; chart: Chart; named: Named; sampled?: boolean }[] = [
  {
    name: 'the curve',
    chart: curveChart({
      curve,
      runs: [run('W01', 2000, 1941.27), run('W02', 4000, 1333.1, 'lid open')],
      shown,
      tolerance,
      level: 0.95,
      at: 3250,
      theme,
    }),
    named: null,
  },
  {
    name: 'the lots',
    chart: lotsChart({
      curves: ['A', 'B'].map((group, k) => ({
        ...curve,
        group,
        points: curve.points.map((point) => ({ ...point, estimate: point.estimate + 20.2 * k })),
      })),
      runs: [
        { ...run('W01', 2000, 1941.27), group: 'A' },
        { ...run('W02', 4000, 1333.1, 'lid open'), group: 'B' },
      ],
      shown,
      tolerance,
      at: 3250,
      theme,
    }),
    named: null,
  },
  {
    name: 'the contours',
    chart: contourChart({
      surface,
      runs: [{ code: 'W01', x: 2000, y: 90, value: 1903.2, excluded: null }],
      shown,
      tolerance,
      at: { x: 3250, y: 101 },
      chances: null,
      recipe: { x: 3130, y: 99.5 },
      theme,
    }),
    named: null,
  },
  { name: 'residuals against fitted values', chart: residualsAgainstFitted(residuals), named: null },
  { name: 'residuals in run order', chart: residualsInRunOrder(residuals), named: null },
  { name: 'residuals against normal scores', chart: normalScoresChart(residuals), named: null },
  {
    name: 'residuals against a factor',
    chart: residualsAgainstFactor({
      ...residuals,
      factor: 'bake',
      unit: '°C',
      settings: [90, 95, null, 100, 110],
    }),
    named: null,
  },
  {
    name: 'the intervals',
    chart: intervalChart({
      rows: [
        { name: 'log(speed)', value: -5.123, low: -6.377, high: -4.011, words: '', strong: true },
        { name: 'bake', value: 0.441, low: -0.602, high: 1.487, words: '', strong: false },
      ],
      label: '',
      title: 'estimate',
      guides: [{ at: 0, words: 'zero' }],
      names: { row: 'term', strong: 'told from zero' },
      decimals: 2,
      theme,
    }),
    named: 'y',
  },
  {
    name: 'the profile',
    chart: profileChart({ sites, shape, radiusMm: 50, unit: 'nm', decimals: 1, theme }),
    named: null,
    sampled: true,
  },
  { name: 'drift, readings', chart: drift('readings'), named: 'x' },
  { name: 'drift, averages', chart: drift('average'), named: 'x' },
  { name: 'drift, ranges', chart: drift('ranges'), named: 'x' },
  {
    name: 'the ledger',
    chart: ledgerChart({
      entries: [
        {
          code: 'W01',
          session: 'Day 1',
          estimate: 1500.4,
          lower: 1480.2,
          upper: 1521.9,
          measured: 1508.3,
          inside: true,
        },
        {
          code: 'W02',
          session: null,
          estimate: 1500.4,
          lower: 1480.2,
          upper: 1521.9,
          measured: 1470.1,
          inside: false,
        },
      ],
      shown,
      theme,
    }) as Chart,
    named: 'x',
  },
  {
    name: 'the history of lots',
    chart: lotHistoryChart({
      lots: [lot('B', '2026-03-01', 1.0181), lot('C', '2026-04-01', 0.9873)],
      margin: 0.0067,
      theme,
    }) as Chart,
    named: 'x',
  },
  {
    name: 'the spin program',
    chart: programChart({
      profile: [
        { time: 0, rpm: 0 },
        { time: 0.5, rpm: 500 },
        { time: 5, rpm: 500 },
        { time: 7.5, rpm: 3000 },
        { time: 35, rpm: 3000 },
      ],
      segments: [
        { from: 0, to: 500, ramp: 1000, time: 5, rampTime: 0.5, timeAtSpeed: 4.5 },
        { from: 500, to: 3000, ramp: 1000, time: 30, rampTime: 2.5, timeAtSpeed: 27.5 },
      ],
      theme,
    }),
    named: 'x',
  },
  { name: 'a trace', chart: trace(false), named: null },
  { name: 'a trace, levelled', chart: trace(true), named: null },
  { name: 'the check standard', chart: checkChart({ log, shown, theme }), named: 'x' },
]
