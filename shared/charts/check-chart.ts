import type { CheckLogResult } from '../contract/results/gauge.ts'
import { type Chart, chartOptions, configuration, extent, labelRoom, line, marks } from './chart.ts'
import { decimalsFor, fixed, type Shown, withUnit } from './format.ts'
import { type LineLabel, lineLabels } from './line-labels.ts'
import type { ChartTheme } from './theme.ts'

const dayNumber = (day: string) => Date.parse(day) / 86_400_000
const dayOf = (number: number) => new Date(Math.round(number) * 86_400_000).toISOString().slice(0, 10)

/** The days of a check standard with the certified value and the control limits; a day that alarms is a hollow triangle. */
export function checkChart(options: { log: CheckLogResult; shown: Shown; theme: ChartTheme }): Chart {
  const { log, shown, theme } = options
  const points = log.days.map((day) => ({ x: dayNumber(day.day), y: shown.of(day.mean), day }))
  const first = points[0]?.x ?? 0
  const last = points.at(-1)?.x ?? first
  const [from, to] = first === last ? [first - 1, last + 1] : [first, last]
  const year = dayOf(from).slice(0, 4)
  const oneYear = year === dayOf(to).slice(0, 4)
  const tick = (value: number) =>
    Number.isInteger(value) ? dayOf(value).slice(oneYear ? year.length + 1 : 0) : ''
  const levels = [
    { words: 'certified', value: log.nominal, style: { borderColor: theme.outside, borderWidth: 2 } },
    ...(log.limits
      ? [
          { words: 'mean', value: log.limits.centre, style: { borderColor: theme.ink, borderWidth: 1 } },
          { words: 'low limit', value: log.limits.low, style: limitStyle(theme) },
          { words: 'high limit', value: log.limits.high, style: limitStyle(theme) },
        ]
      : []),
  ].map((level) => ({ ...level, y: shown.of(level.value) }))
  const [low, high] = extent([...points, ...levels].map(({ y }) => y))
  const decimals = decimalsFor(shown.of(log.longTerm?.value ?? 0))
  const alarms = (one: (typeof points)[number]) => one.day.alarms.length > 0
  const said = (one: (typeof points)[number]) => fixed(one.y, decimals)
  return {
    label: `Mean of a check standard on ${points.length} days, ${points.filter(alarms).length} of which alarm.`,
    config: configuration(
      [
        ...levels.map(({ y, style }) =>
          line(
            theme,
            [from, to].map((x) => ({ x, y })),
            style,
          ),
        ),
        line(theme, points, { borderColor: theme.mark, borderWidth: 1 }),
        marks(
          theme,
          points.filter((one) => !alarms(one)),
        ),
        marks(theme, points.filter(alarms), {
          pointStyle: 'triangle',
          pointRadius: 8,
          pointBorderColor: theme.outside,
          pointBackgroundColor: 'transparent',
        }),
      ],
      chartOptions(
        theme,
        {
          x: { title: oneYear ? `day of ${year}` : 'day', min: from, max: to, tick },
          y: { title: withUnit(shown.name, shown.unit), min: low, max: high },
        },
        { right: labelRoom },
      ),
      [
        lineLabels(
          theme,
          levels.map(({ words, y }): LineLabel => ({ at: { x: to, y }, words, colour: theme.ink })),
        ),
      ],
    ),
    table: {
      columns: ['day', withUnit(shown.name, shown.unit), 'alarms'],
      rows: [
        ...points.map((one) => [one.day.day, said(one), alarms(one) ? 'yes' : 'no']),
        ...levels.map(({ words, y }) => [words, fixed(y, decimals), '']),
      ],
    },
    crosshair: 'x',
    stops: points.map((one) => ({
      x: one.x,
      y: one.y,
      words: `${one.day.day}: ${said(one)} ${shown.unit}${alarms(one) ? ', alarm' : ''}`,
    })),
  }
}

const limitStyle = (theme: ChartTheme) => ({ borderColor: theme.ink, borderWidth: 1, borderDash: [6, 4] })
