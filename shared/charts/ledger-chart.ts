import { type Chart, chartOptions, configuration, extent, labelRoom, line, marks } from './chart.ts'
import { decimalsFor, fixed, type Shown, withUnit } from './format.ts'
import { lineLabels } from './line-labels.ts'
import type { ChartTheme } from './theme.ts'

/** A prediction that was measured, in the response's own unit. */
export type MeasuredPrediction = {
  code: string
  session: string | null
  estimate: number
  lower: number
  upper: number
  measured: number
  inside: boolean
}

/**
 * What was measured less what was predicted, run after run, over the intervals; what fell outside is a hollow triangle.
 * Null where nothing has been measured.
 */
export function ledgerChart(options: {
  entries: readonly MeasuredPrediction[]
  shown: Shown
  theme: ChartTheme
}): Chart | null {
  const { entries, shown, theme } = options
  if (entries.length === 0) return null
  const points = entries.map((entry, i) => {
    const [zero, low, high, y] = [entry.estimate, entry.lower, entry.upper, entry.measured].map(shown.of) as [
      number,
      number,
      number,
      number,
    ]
    return { entry, x: i + 1, y: y - zero, low: low - zero, high: high - zero }
  })
  const [from, to] = [0.5, points.length + 0.5]
  const [bottom, top] = extent(points.flatMap(({ y, low, high }) => [0, y, low, high]))
  const decimals = decimalsFor(Math.min(...points.map(({ low, high }) => high - low)) / 4)
  const signed = (value: number) => `${value > 0 ? '+' : ''}${fixed(value, decimals)}`
  const where = ({ session, code }: MeasuredPrediction) => (session === null ? code : `${code}, ${session}`)
  const bar = { borderColor: theme.inkSoft, borderWidth: 2 }
  const outside = points.filter(({ entry }) => !entry.inside)
  return {
    label: `Measured less predicted for ${points.length} runs, ${outside.length} of them outside their interval.`,
    config: configuration(
      [
        line(
          theme,
          [from, to].map((x) => ({ x, y: 0 })),
          { borderColor: theme.ink, borderWidth: 1 },
        ),
        ...points.map(({ x, low, high }) =>
          line(
            theme,
            [low, high].map((y) => ({ x, y })),
            bar,
          ),
        ),
        marks(
          theme,
          points.filter(({ entry }) => entry.inside),
        ),
        marks(theme, outside, {
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
            title: 'run, in the order of prediction',
            min: from,
            max: to,
            tick: (value) => points[value - 1]?.entry.code ?? '',
          },
          y: { title: withUnit('measured less predicted', shown.unit), min: bottom, max: top },
        },
        { right: labelRoom },
      ),
      [lineLabels(theme, [{ at: { x: to, y: 0 }, words: 'as predicted', colour: theme.ink }])],
    ),
    table: {
      columns: ['run', withUnit('measured less predicted', shown.unit), 'interval', 'inside'],
      rows: points.map(({ entry, y, low, high }) => [
        where(entry),
        signed(y),
        `${signed(low)} to ${signed(high)}`,
        entry.inside ? 'yes' : 'no',
      ]),
    },
    crosshair: 'x',
    stops: points.map(({ entry, x, y, low, high }) => ({
      x,
      y,
      words:
        `${where(entry)}: ${signed(y)} ${shown.unit}, interval ${signed(low)} to ${signed(high)}` +
        `${entry.inside ? '' : ', outside'}`,
    })),
  }
}
