import { describe, expect, test } from 'vitest'
import { newDesign, newFactor } from '../../../renderer/screens/plan/draft.ts'
import { gridChart } from '../../../renderer/screens/plan/grid-chart.ts'
import { drawGrid, runsInRegion, runsOfPlan } from '../../../renderer/screens/plan/grid-drawing.ts'
import { minutesByKind, slotBars } from '../../../renderer/screens/plan/slot-bar.ts'
import { slotChart } from '../../../renderer/screens/plan/slot-chart.ts'
import { chartAsSvg } from '../../../shared/charts/drawn-chart.ts'
import type { Timeline, TimelineStep } from '../../../shared/contract/results/plan.ts'
import type { Factor, RunKind } from '../../../shared/contract/things.ts'
import { makePlan } from '../../../shared/design/make-plan.ts'
import { plainTheme } from '../charts/plain-theme.ts'

const speed = { ...newFactor('speed', []), levels: 2 }
const time = { ...newFactor('time', []), levels: 2 }
const bake = { ...newFactor('bake temperature', []), levels: 2 }
const bench = {
  ...{
    coatMl: 3.5,
    purgeMl: 10,
    dummies: 2,
    spares: 2,
    coatMinutes: 6,
    readMinutes: 5,
    siteMap: '9' as const,
  },
  ...{ slotHours: 4, plateAtStart: 21, bottleMl: null, holdBakeTemperature: 100, hotPlate: null },
}
function planOf(factors: Factor[], centre = 0) {
  const plan = makePlan({ factors, design: { ...newDesign(1), centre }, bench })
  if (!plan.ok) throw new Error(plan.problems[0]?.message)
  return plan.value
}
const svg = (chart: Parameters<typeof chartAsSvg>[0]) =>
  chartAsSvg(chart, { width: 400, height: 300, name: 'x', ground: null, measure: (text) => 7 * text.length })
const near = (x: number, y: number) => ({ x: expect.closeTo(x, 4), y: expect.closeTo(y, 4) })

describe('the drawing of a plan in its region', () => {
  test('corners of two factors stand at ±1, the upright one upwards', () => {
    const { marks } = drawGrid([speed, time], runsOfPlan(planOf([speed, time]).runs))
    const at = (low: boolean, early: boolean) =>
      marks.find(
        ({ settings }) => (settings.speed === speed.low) === low && (settings.time === time.low) === early,
      )
    expect(at(true, true)).toMatchObject(near(-1, 1))
    expect(at(false, false)).toMatchObject(near(1, -1))
  })

  test('three factors are seen turned by 0.5 and tilted by 0.36 radians', () => {
    const { marks } = drawGrid([speed, time, bake], runsOfPlan(planOf([speed, time, bake]).runs))
    const high = marks.find(
      ({ settings }) =>
        settings.speed === speed.high && settings.time === time.high && settings.bake === bake.high,
    )
    // cos ½ + sin ½, and cos 0.36 + (cos ½ − sin ½)·sin 0.36
    expect(high).toMatchObject(near(1.357, -1.0762))
  })

  test('its table is the runs of the plan in their order, with units in the heading', () => {
    const plan = planOf([speed, time, bake], 3)
    const { table } = gridChart({ factors: plan.factors, runs: runsOfPlan(plan.runs), theme: plainTheme })
    expect(table.columns.slice(2)).toEqual(['speed (rpm)', 'time (s)', 'bake (°C)'])
    expect(table.rows.map(([order]) => Number(order))).toEqual(plan.runs.map(({ runOrder }) => runOrder))
    expect(table.rows.map((row) => row.slice(2).map(Number))).toEqual(
      plan.runs.map(({ settings }) => [settings.speed, settings.time, settings.bake]),
    )
  })

  test('each place says its settings and its runs, and all runs are said once', () => {
    const plan = planOf([speed, time], 2)
    const { stops } = gridChart({ factors: plan.factors, runs: runsOfPlan(plan.runs), theme: plainTheme })
    expect(stops).toHaveLength(5)
    const centre = plan.runs.filter(({ kind }) => kind === 'centre').map(({ runOrder }) => runOrder)
    expect(stops.map(({ words }) => words).join('\n')).toContain(`runs ${centre.join(', ')}`)
    for (const run of plan.runs)
      expect(
        stops.filter(({ words }) =>
          new RegExp(`runs? .*\\b${run.runOrder}\\b`).test(words.split(': ')[1] ?? ''),
        ),
      ).toHaveLength(1)
  })

  test('its picture names the axes with their units and ends', () => {
    const plan = planOf([speed, time, bake])
    const drawn = svg(gridChart({ factors: plan.factors, runs: runsOfPlan(plan.runs), theme: plainTheme }))
    for (const text of ['speed (rpm)', 'time (s)', 'bake (°C)', String(speed.low), String(bake.high)])
      expect(drawn).toContain(`>${text}<`)
    expect(drawn).not.toContain('NaN')
  })

  test('runs made already and those recommended are marked; those outside the region are counted', () => {
    const run = (code: string, kind: RunKind, set: number) => ({
      code,
      kind,
      settings: { speed: set, time: 30 },
    })
    const runs = [
      run('W1', 'factorial', speed.low ?? 0),
      run('W2', 'next', 3000),
      run('W3', 'factorial', 9000),
    ]
    const found = runsInRegion(
      [speed, time],
      [...runs, { ...run('M1', 'monitor', 3000), settings: { speed: 3000 } as never }],
      ({ code }) => code !== 'W2',
    )
    expect(found.outside).toBe(2)
    const { marks } = drawGrid([speed, time], found.runs)
    expect(marks.map(({ kind }) => kind).sort()).toEqual(['made', 'next'])
  })

  test('says how many places hold runs that differ in what is not drawn', () => {
    const lot = newFactor('lot', [], { lots: ['A', 'B'] })
    const drawing = drawGrid([speed, time, bake, lot], runsOfPlan(planOf([speed, time, bake, lot]).runs))
    expect([drawing.leftOut, drawing.merged, drawing.marks.length]).toEqual([['lot'], 8, 8])
    expect(drawing.marks[0]?.settings).not.toHaveProperty('lot')
  })
})

describe('the session over time', () => {
  const step = (
    kind: TimelineStep['kind'],
    from: number,
    to: number,
    run: number | null = null,
  ): TimelineStep => ({
    ...{ kind, from, to, run, temperature: kind === 'heat' ? 90 : null },
  })
  const steps = [
    step('heat', 0, 12),
    step('coat', 12, 18, 1),
    step('coat', 18, 24, 2),
    step('read', 24, 29, 1),
  ]
  const timeline: Timeline = {
    ...{ reading: 'after', slotMinutes: 60, minutesLater: 0 },
    sessions: [{ session: 'Session 1', steps, finish: 29, over: 0 }],
  }

  test('joins steps of one kind that follow each other, and reaches to the booked hours', () => {
    const { minutes, rows } = slotBars(timeline)
    expect(minutes).toBe(60)
    expect(rows.map(({ stretches }) => stretches)).toEqual([
      [
        { kind: 'heat', from: 0, to: 12 },
        { kind: 'coat', from: 12, to: 24 },
        { kind: 'read', from: 24, to: 29 },
      ],
    ])
    expect(minutesByKind(steps)).toEqual([
      { kind: 'coat', minutes: 12 },
      { kind: 'heat', minutes: 12 },
      { kind: 'read', minutes: 5 },
    ])
  })

  test('a second person who reads has a bar below', () => {
    const { rows } = slotBars({ ...timeline, reading: 'meanwhile' })
    expect(rows.map((row) => row.steps.map(({ kind }) => kind))).toEqual([['heat', 'coat', 'coat'], ['read']])
  })

  test('its table holds every step with its times, in minutes or by the clock', () => {
    const inMinutes = slotChart({ timeline, start: null, theme: plainTheme }).table
    expect(inMinutes.rows.map((row) => row.slice(2, 6))).toEqual([
      ['–', '0', '12', '12'],
      ['1', '12', '18', '6'],
      ['2', '18', '24', '6'],
      ['1', '24', '29', '5'],
    ])
    const { table, stops } = slotChart({ timeline, start: '09:30', theme: plainTheme })
    expect(table.rows.map((row) => row.slice(3, 5))).toContainEqual(['09:42', '09:48'])
    expect(stops[0]).toMatchObject({ x: 6, y: 0 })
    expect(stops[0]?.words).toContain('09:30')
  })

  test('bars of the picture stand where the minutes are', () => {
    const { config } = slotChart({ timeline, start: null, theme: plainTheme })
    expect(config.data.datasets.map(({ data }) => data.map(({ x }) => x))).toEqual([
      [0, 12],
      [12, 24],
      [24, 29],
      [60, 60],
    ])
    expect(svg(slotChart({ timeline, start: null, theme: plainTheme }))).not.toContain('NaN')
  })
})
