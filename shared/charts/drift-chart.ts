import type { RecipeDrift } from '../contract/calls/recipes.ts'
import type { DriftSeries } from '../contract/results/drift.ts'
import { eventWords } from '../drift/drift-words.ts'
import { type Chart, chartOptions, configuration, extent, labelRoom, line, marks } from './chart.ts'
import { decimalsFor, fixed, type Shown, withUnit } from './format.ts'
import { uprightGuide } from './guides.ts'
import { type LineLabel, lineLabels } from './line-labels.ts'
import type { ChartTheme } from './theme.ts'

/** The readings themselves, their weighted average, or how far neighbours differ. */
export type DriftView = 'readings' | 'average' | 'ranges'

type Level = { words: string; values: number[]; limit: boolean }

/** One view of a series of monitor readings, with its limits and with the events between readings. */
export function driftChart(options: {
  series: DriftSeries
  view: DriftView
  readings: RecipeDrift['readings']
  events: RecipeDrift['events']
  shown: Shown
  theme: ChartTheme
}): Chart | null {
  const { series, view, readings, events, theme } = options
  const { chart } = series
  // On the log scale a difference is a share.
  const shown: Shown =
    view === 'ranges' && chart.scale === 'log'
      ? { name: 'moving range', unit: '%', of: (value) => 100 * value }
      : options.shown
  const points = chart.readings.flatMap((reading, i) => {
    const value = shownValue(reading, view)
    return value === null ? [] : [{ x: i + 1, y: shown.of(value), reading: i + 1 }]
  })
  if (points.length === 0) return null
  const levels = levelsOf(series, view).map((level) => ({ ...level, values: level.values.map(shown.of) }))
  const ys = [...points.map(({ y }) => y), ...levels.flatMap(({ values }) => values)]
  // Room for the words of events above the highest mark.
  const [low, high] = extent(ys, events.length > 0 ? 0.2 : 0.06)
  const alarms = new Map<number, string[]>()
  for (const { reading, rule, words } of chart.alarms)
    if (view !== 'ranges' && (rule === 'average') === (view === 'average'))
      alarms.set(reading, [...(alarms.get(reading) ?? []), words])
  const alarmed = ({ reading }: { reading: number }) => alarms.has(reading)
  /** A level line has one value for all readings from the first that the limits are for. */
  const valueAt = (values: number[], reading: number) =>
    reading < first ? null : values.length === 1 ? values[0] : values[reading - first]
  const decimals = decimalsFor((high - low) / 20)
  const last = readings.length
  const first = chart.limits?.from ?? 1
  const dayOf = (reading: number) => readings[reading - 1]?.day || readings[reading - 1]?.session || ''
  const eventsAt = (reading: number) =>
    events.filter(({ before }) => before === reading - 1).map(({ kind, text }) => eventWords(kind, text))
  const shownEvents = events.filter(({ kind }) => kind !== 'bottle opened')
  return {
    label: `${shown.name} of ${last} readings, ${alarms.size} of which break a rule.`,
    config: configuration(
      [
        ...levels.map(({ values, limit }) =>
          line(
            theme,
            values.length === 1
              ? [first - 0.5, last + 0.5].map((x) => ({ x, y: values[0] as number }))
              : values.map((y, i) => ({ x: first + i, y })),
            { borderColor: theme.ink, borderWidth: 1, ...(limit ? { borderDash: [6, 4] } : {}) },
          ),
        ),
        line(theme, points, {
          borderColor: view === 'average' ? theme.accent : theme.mark,
          borderWidth: view === 'average' ? 2 : 1,
        }),
        marks(
          theme,
          points.filter((one) => !alarmed(one)),
          view === 'average' ? { pointRadius: 3 } : {},
        ),
        marks(theme, points.filter(alarmed), {
          pointStyle: 'triangle',
          pointRadius: 8,
          pointBorderColor: theme.outside,
          pointBackgroundColor: 'transparent',
        }),
      ],
      chartOptions(
        theme,
        {
          x: {
            title: 'reading',
            min: 0.5,
            max: last + 0.5,
            tick: (value) => (Number.isInteger(value) ? String(value) : ''),
          },
          y: { title: withUnit(shown.name, shown.unit), min: low, max: high },
        },
        {
          right: labelRoom,
          plugins: {
            annotation: {
              annotations: Object.fromEntries(
                shownEvents.map(({ id, kind, text, before }, i) => [
                  id,
                  uprightGuide(theme, before + 0.5, eventWords(kind, text), 18 * (i % 3)),
                ]),
              ),
            },
          },
        },
      ),
      [
        lineLabels(
          theme,
          levels.map(
            ({ words, values }): LineLabel => ({
              at: { x: last, y: values.at(-1) as number },
              words,
              colour: theme.ink,
            }),
          ),
        ),
      ],
    ),
    table: {
      columns: [
        'reading',
        'day or session',
        withUnit(shown.name, shown.unit),
        ...levels.map(({ words }) => words),
        'events before',
        'rules broken',
      ],
      rows: points.map(({ reading, y }) => [
        String(reading),
        dayOf(reading),
        fixed(y, decimals),
        ...levels.map(({ values }) => fixed(valueAt(values, reading), decimals)),
        eventsAt(reading).join(', '),
        (alarms.get(reading) ?? []).join(' '),
      ]),
    },
    crosshair: 'x',
    stops: points.map(({ x, y, reading }) => ({
      x,
      y,
      words: [
        `Reading ${reading}, ${dayOf(reading)}: ${fixed(y, decimals)} ${shown.unit}`,
        ...(alarms.get(reading) ?? []),
        ...eventsAt(reading).map((words) => `before it: ${words}`),
      ].join('; '),
    })),
  }
}

function shownValue(reading: DriftSeries['chart']['readings'][number], view: DriftView): number | null {
  if (view === 'ranges') return reading.movingRange
  return view === 'average' ? (reading.average?.value ?? null) : reading.value
}

/** Lines across the plot: one value where they are level, one a reading where they are not. */
function levelsOf({ chart }: DriftSeries, view: DriftView): Level[] {
  const { limits } = chart
  if (!limits) return []
  const level = (words: string, value: number, limit: boolean): Level => ({ words, values: [value], limit })
  if (view === 'ranges')
    return [level('mean', limits.meanMovingRange, false), level('limit', limits.movingRangeUpper, true)]
  const centre = level('centre', limits.centre, false)
  if (view === 'readings')
    return [centre, level('high limit', limits.upper, true), level('low limit', limits.lower, true)]
  const averages = chart.readings.flatMap(({ average }) => average ?? [])
  return [
    centre,
    { words: 'high limit', values: averages.map(({ upper }) => upper), limit: true },
    { words: 'low limit', values: averages.map(({ lower }) => lower), limit: true },
  ]
}
