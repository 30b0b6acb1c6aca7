import type { AnnotationOptions } from 'chartjs-plugin-annotation'
import {
  band,
  type Chart,
  chartOptions,
  configuration,
  extent,
  labelRoom,
  line,
  marks,
  type Point,
} from './chart.ts'
import { decimalsFor, fixed, plainNumber, quantity, type Shown, withUnit } from './format.ts'
import { type Tolerance, toleranceGuides, uprightGuide } from './guides.ts'
import { lineLabels } from './line-labels.ts'
import type { ChartTheme } from './theme.ts'

/** The fitted curve over one factor, in the unit in which the response is kept. */
export type FittedCurve = {
  factor: string
  unit: string
  points: { x: number; estimate: number; confidence: [number, number]; prediction: [number, number] }[]
}

/** A run drawn as a mark: hollow where it is left out of the fit. */
export type RunMark = { code: string; x: number; y: number; excluded: string | null }

/**
 * Response against one factor: the fitted line, the band of its mean, the band of the next substrate, the
 * tolerance band around the target, the runs. Numbers come in the kept unit and are drawn in the shown one.
 *
 * @param options.level of both bands, such as 0.95
 * @param options.at the working point on this factor, drawn as an upright line
 */
export function curveChart(options: {
  curve: FittedCurve
  runs: RunMark[]
  shown: Shown
  tolerance: Tolerance | null
  level: number
  at: number | null
  /** Both axes logarithmic, so that a power law is a straight line. */
  logScales?: boolean
  theme: ChartTheme
}): Chart {
  const { curve, shown, theme } = options
  const { of } = shown
  const points = curve.points
  const along = (value: (point: (typeof points)[number]) => number): Point[] =>
    points.map((point) => ({ x: point.x, y: of(value(point)) }))
  const estimate = along((point) => point.estimate)
  const runs = options.runs.map((run) => ({ ...run, y: of(run.y) }))
  const tolerance = options.tolerance && {
    target: of(options.tolerance.target),
    tolerance: options.tolerance.tolerance === null ? null : of(options.tolerance.tolerance),
  }
  const last = estimate.at(-1)
  const top = points.at(-1)
  const percentLevel = Math.round(options.level * 100)
  const guides: Record<string, AnnotationOptions> = {
    ...(tolerance ? toleranceGuides(theme, tolerance, toleranceWords(tolerance, shown)) : {}),
    ...(options.at === null
      ? {}
      : { at: uprightGuide(theme, options.at, `${plainNumber(options.at)} ${curve.unit}`.trim()) }),
  }
  const labels =
    last && top
      ? [
          { at: { x: last.x, y: of(top.prediction[1]) }, words: 'next run', colour: theme.ink },
          { at: last, words: 'fitted line', colour: theme.accent },
        ]
      : []
  const xs = [...points.map((point) => point.x), ...runs.map((run) => run.x)]
  const logScales = options.logScales === true && xs.every((x) => x > 0)
  const [low, high] = logScales ? [Math.min(...xs) / 1.03, Math.max(...xs) * 1.03] : extent(xs, 0.03)
  const scale = logScales ? ({ scale: 'logarithmic' } as const) : {}
  return {
    label:
      `${shown.name} against ${curve.factor}: fitted line with the ${percentLevel} % confidence band of ` +
      `the mean and the ${percentLevel} % prediction band of the next run, ${runs.length} runs` +
      `${tolerance ? `, ${toleranceWords(tolerance, shown)}` : ''}.`,
    config: configuration(
      [
        line(theme, estimate),
        ...band(
          along((point) => point.confidence[0]),
          along((point) => point.confidence[1]),
          { fill: theme.bandConfidence, edge: 'transparent' },
        ),
        ...band(
          along((point) => point.prediction[0]),
          along((point) => point.prediction[1]),
          { fill: theme.bandPrediction, edge: theme.accent },
        ),
        marks(
          theme,
          runs.filter((run) => run.excluded === null).map(({ x, y }) => ({ x, y })),
        ),
        marks(
          theme,
          runs.filter((run) => run.excluded !== null).map(({ x, y }) => ({ x, y })),
          { pointBackgroundColor: 'transparent' },
        ),
      ],
      chartOptions(
        theme,
        {
          x: { title: withUnit(curve.factor, curve.unit), min: low, max: high, ...scale },
          y: { title: withUnit(shown.name, shown.unit), ...scale },
        },
        { right: labelRoom, plugins: { annotation: { annotations: guides } } },
      ),
      [lineLabels(theme, labels)],
    ),
    table: curveTable(curve, shown),
    crosshair: 'x',
    stops: points.map((point) => ({
      x: point.x,
      y: of(point.estimate),
      words: stopWords(point, curve, shown),
    })),
  }
}

export function toleranceWords(at: Tolerance, shown: Shown): string {
  const margin = at.tolerance === null ? '' : ` ± ${plainNumber(at.tolerance)}`
  return `target ${quantity(plainNumber(at.target) + margin, shown.unit)}`
}

function decimalsOf(point: FittedCurve['points'][number], shown: Shown): number {
  return decimalsFor(shown.of(point.prediction[1] - point.prediction[0]) / 4)
}

function stopWords(point: FittedCurve['points'][number], curve: FittedCurve, shown: Shown): string {
  const places = decimalsOf(point, shown)
  const number = (value: number) => fixed(shown.of(value), places)
  const [low, high] = point.prediction
  const [meanLow, meanHigh] = point.confidence
  return (
    `At ${quantity(plainNumber(point.x), curve.unit)}: ${quantity(number(point.estimate), shown.unit)}; ` +
    `mean ${number(meanLow)} to ${number(meanHigh)}, next run ${number(low)} to ${number(high)}`
  )
}

function curveTable(curve: FittedCurve, shown: Shown) {
  return {
    columns: [
      withUnit(curve.factor, curve.unit),
      withUnit(shown.name, shown.unit),
      'mean from',
      'mean to',
      'next run from',
      'next run to',
    ],
    rows: curve.points.map((point) =>
      [plainNumber(point.x)].concat(
        [point.estimate, ...point.confidence, ...point.prediction].map((value) =>
          fixed(shown.of(value), decimalsOf(point, shown)),
        ),
      ),
    ),
  }
}
