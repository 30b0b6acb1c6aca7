import type { AnnotationOptions } from 'chartjs-plugin-annotation'
import { type Chart, chartOptions, configuration, extent, line, marks } from './chart.ts'
import { fixed, plainNumber } from './format.ts'
import { uprightGuide } from './guides.ts'
import type { ChartTheme } from './theme.ts'

/** One line of the chart: a value with its interval. Null ends: the interval is not known on that side. */
export type IntervalRow = {
  name: string
  value: number
  low: number | null
  high: number | null
  /** What the crosshair says. */
  words: string
  /** Drawn filled; hollow where it cannot be told from nothing. */
  strong: boolean
}

/**
 * Values with their intervals, one below the other, by name.
 *
 * @param options.title of the axis of values
 * @param options.guides places on that axis drawn as upright lines, with their words
 */
export function intervalChart(options: {
  rows: readonly IntervalRow[]
  label: string
  title: string
  guides: { at: number; words: string }[]
  /** What the rows are, as the table calls them, and what being drawn filled means. */
  names: { row: string; strong: string }
  /** Of the numbers in the table. */
  decimals: number
  theme: ChartTheme
}): Chart {
  const { rows, theme } = options
  const height = (index: number) => rows.length - index
  const [from, to] = extent([
    ...rows.flatMap(({ value, low, high }) => [value, low ?? value, high ?? value]),
    ...options.guides.map(({ at }) => at),
  ])
  const spot = (row: IntervalRow) => ({ x: row.value, y: height(rows.indexOf(row)) })
  const guides: Record<string, AnnotationOptions> = Object.fromEntries(
    options.guides.map(({ at, words }, index) => [`guide${index}`, uprightGuide(theme, at, words)]),
  )
  return {
    label: options.label,
    config: configuration(
      [
        ...rows.map((row) =>
          line(
            theme,
            [row.low ?? from, row.high ?? to].map((x) => ({ x, y: spot(row).y })),
            { borderColor: theme.ink, borderWidth: 2 },
          ),
        ),
        marks(theme, rows.filter(({ strong }) => strong).map(spot)),
        marks(theme, rows.filter(({ strong }) => !strong).map(spot), { pointBackgroundColor: theme.ground }),
      ],
      chartOptions(
        theme,
        {
          x: { title: options.title, min: from, max: to },
          y: {
            title: '',
            min: 0.5,
            // The words of a guide stand above the first row.
            max: rows.length + (options.guides.length > 0 ? 1 : 0.5),
            names: rows.map(({ name }, index) => ({ at: height(index), name })),
          },
        },
        { plugins: { annotation: { annotations: guides } } },
      ),
    ),
    table: {
      columns: [options.names.row, options.title, 'from', 'to', options.names.strong],
      rows: [
        ...rows.map((row) => [
          row.name,
          ...[row.value, row.low, row.high].map((value) => fixed(value, options.decimals)),
          row.strong ? 'yes' : 'no',
        ]),
        ...options.guides.map(({ at, words }) => [words, plainNumber(at), '', '', '']),
      ],
    },
    crosshair: 'both',
    stops: rows.map((row) => ({ ...spot(row), words: row.words })),
  }
}
