import type { AnnotationOptions } from 'chartjs-plugin-annotation'
import type { LotHistory } from '../contract/results/lot-history.ts'
import { type Chart, chartOptions, configuration, extent, labelRoom, line, marks } from './chart.ts'
import { decimalsFor, fixed, plainNumber } from './format.ts'
import { toleranceGuides, toleranceLabel } from './guides.ts'
import { quietLabels } from './quiet-labels.ts'
import type { ChartTheme } from './theme.ts'

/**
 * The shift of each lot with its interval, in percent, against the day of its first run; the margin as a band around 0, and
 * lots whose days may be in their shift hollow. Null where there is no lot with a day.
 *
 * @param options.margin as a ratio less 1, or null where none is stated
 */
export function lotHistoryChart(options: {
  lots: LotHistory['lots']
  margin: number | null
  theme: ChartTheme
}): Chart | null {
  const { margin, theme } = options
  const percentOf = (ratio: number) => 100 * (ratio - 1)
  const points = options.lots
    .flatMap((lot) => {
      const x = Date.parse(lot.day) / millisecondsADay
      if (Number.isNaN(x)) return []
      const y = percentOf(lot.ratio)
      return [{ lot, x, y, low: percentOf(lot.lower ?? lot.ratio), high: percentOf(lot.upper ?? lot.ratio) }]
    })
    .sort((a, b) => a.x - b.x)
  if (points.length === 0) return null
  const decimals = decimalsFor(Math.min(...points.map(({ low, high }) => (high - low) / 2)))
  const signed = (value: number) => `${value > 0 ? '+' : ''}${fixed(value, decimals)}`
  const edges = margin === null ? [] : [-100 * margin, 100 * margin]
  const [bottom, top] = extent([0, ...edges, ...points.flatMap(({ y, low, high }) => [y, low, high])], 0.1)
  const days = points.map(({ x }) => x)
  const [first, last] = [Math.min(...days), Math.max(...days)]
  const room = Math.max(1, 0.06 * (last - first))
  const percentMargin = margin === null ? null : Number((100 * margin).toPrecision(3))
  const noShift = { target: 0, tolerance: percentMargin }
  const noShiftWords = percentMargin === null ? 'as the reference' : `margin ±${plainNumber(percentMargin)} %`
  return {
    label: `Shift of ${points.length === 1 ? 'one lot' : `${points.length} lots`} against the reference lot of its study, with intervals, by day.`,
    config: configuration(
      [
        ...points.map(({ x, low, high }) =>
          line(
            theme,
            [low, high].map((y) => ({ x, y })),
            { borderColor: theme.inkSoft, borderWidth: 2 },
          ),
        ),
        marks(
          theme,
          points.filter(({ lot }) => lot.daysHeldApart),
        ),
        marks(
          theme,
          points.filter(({ lot }) => !lot.daysHeldApart),
          { pointBackgroundColor: 'transparent' },
        ),
      ],
      chartOptions(
        theme,
        {
          x: { title: 'day of the first run', min: first - room, max: last + room, tick: dayOf },
          y: { title: 'shift (%)', min: bottom, max: top },
        },
        {
          right: labelRoom,
          plugins: {
            annotation: {
              annotations: {
                ...toleranceGuides(theme, noShift),
                ...Object.fromEntries(
                  points.map(({ x, y, lot }, i) => [`lot ${i}`, named(theme, x, y, lot.lot)]),
                ),
              },
            },
          },
        },
      ),
      [quietLabels(theme, [toleranceLabel(noShift, noShiftWords)])],
    ),
    table: {
      columns: ['day', 'lot', 'against', 'shift (%)', 'interval (%)', 'study'],
      rows: [
        ...points.map(({ lot, y, low, high }) => [
          lot.day,
          lot.daysHeldApart ? lot.lot : `${lot.lot} (days may be in it)`,
          lot.reference,
          signed(y),
          `${signed(low)} to ${signed(high)}`,
          lot.study,
        ]),
        ...(percentMargin === null
          ? []
          : [
              [
                '',
                'margin',
                '',
                '',
                `\u2212${plainNumber(percentMargin)} to +${plainNumber(percentMargin)}`,
                '',
              ],
            ]),
      ],
    },
    crosshair: 'both',
    stops: points.map(({ lot, x, y, low, high }) => ({
      x,
      y,
      words:
        `${lot.day}, lot ${lot.lot} against ${lot.reference}: ${signed(y)} %, interval ${signed(low)} to ${signed(high)}` +
        (lot.daysHeldApart ? '' : '; days may be in it'),
    })),
  }
}

/** A word beside a mark. */
function named(theme: ChartTheme, x: number, y: number, words: string): AnnotationOptions {
  return {
    type: 'label',
    xValue: x,
    yValue: y,
    content: words,
    color: theme.ink,
    font: { family: theme.font, size: 13, weight: 'normal' },
    position: { x: 'start', y: 'center' },
    xAdjust: 10,
  }
}

const millisecondsADay = 86_400_000

/** A count of days as a date; between two midnights nothing. */
function dayOf(days: number): string {
  return Number.isInteger(days) ? new Date(days * millisecondsADay).toISOString().slice(0, 10) : ''
}
