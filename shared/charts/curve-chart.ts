import type { AnnotationOptions } from 'chartjs-plugin-annotation'
import { largest, smallest } from '../extremes.ts'
import type { Range } from './axis-limits.ts'
import {
  band,
  type Chart,
  type ChartTable,
  chartOptions,
  configuration,
  extent,
  labelRoom,
  line,
  marks,
  type Point,
} from './chart.ts'
import { decimalsFor, fixed, plainNumber, quantity, type Shown, withUnit } from './format.ts'
import { endsOf, type Tolerance, toleranceGuides, toleranceLabel, uprightGuide } from './guides.ts'
import { lineLabels } from './line-labels.ts'
import { quietLabels } from './quiet-labels.ts'
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
 * tolerance band around the target, the runs. Numbers come in the kept unit and are drawn in the shown one. A run left
 * out far from all others does not stretch the axis: it stands at the edge of the plot as a hollow triangle.
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
  const { curve, shown, theme, at } = options
  const { of } = shown
  const points = curve.points
  const along = (value: (point: (typeof points)[number]) => number): Point[] =>
    points.map((point) => ({ x: point.x, y: of(value(point)) }))
  const estimate = along((point) => point.estimate)
  const runs = options.runs.map((run) => ({ ...run, y: of(run.y) }))
  const tolerance = shownTolerance(options.tolerance, shown)
  const last = estimate.at(-1)
  const top = points.at(-1)
  const percentLevel = Math.round(options.level * 100)
  const labels =
    last && top
      ? [
          { at: { x: last.x, y: of(top.prediction[1]) }, words: 'next run', colour: theme.ink },
          { at: last, words: 'fitted line', colour: theme.accent },
        ]
      : []
  const xs = [...points.map((point) => point.x), ...runs.map((run) => run.x)]
  const counted = runs.filter((run) => run.excluded === null)
  const ys = [
    ...points.flatMap((point) => point.prediction.map(of)),
    ...counted.map(({ y }) => y),
    ...(tolerance ? endsOf(tolerance) : []),
  ]
  const logScales = options.logScales === true && [...xs, ...ys].every((value) => value > 0)
  const scale = logScales ? ({ scale: 'logarithmic' } as const) : {}
  const [low, high] = logScales ? ratioExtent(xs) : extent(xs, 0.03)
  const { range, placed } = withLeftOut(ys, runs, logScales)
  const guides: Record<string, AnnotationOptions> = {
    ...(tolerance ? toleranceGuides(theme, tolerance) : {}),
    ...(at === null ? {} : { at: uprightGuide(theme, at) }),
  }
  const guideLabels = [
    ...(tolerance ? [toleranceLabel(tolerance, toleranceWords(tolerance, shown))] : []),
    ...(at === null ? [] : [{ words: quantity(plainNumber(at), curve.unit), upright: at }]),
  ]
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
        marks(theme, counted.map(spot)),
        marks(theme, placed.filter(({ beyond }) => beyond === 0).map(spot), {
          pointBackgroundColor: 'transparent',
        }),
        ...([-1, 1] as const).map((side) =>
          marks(theme, placed.filter(({ beyond }) => beyond === side).map(spot), {
            pointStyle: 'triangle',
            pointRadius: 7,
            pointRotation: side < 0 ? 180 : 0,
            pointBackgroundColor: 'transparent',
          }),
        ),
      ],
      chartOptions(
        theme,
        {
          x: { title: withUnit(curve.factor, curve.unit), min: low, max: high, ...scale },
          y: { title: withUnit(shown.name, shown.unit), min: range[0], max: range[1], ...scale },
        },
        { right: labelRoom, plugins: { annotation: { annotations: guides } } },
      ),
      [lineLabels(theme, labels), quietLabels(theme, guideLabels)],
    ),
    table: curveTable(curve, shown, { runs, tolerance, at }),
    crosshair: 'x',
    stops: points.map((point) => ({
      x: point.x,
      y: of(point.estimate),
      words: stopWords(point, curve, shown),
    })),
  }
}

const spot = ({ x, y }: Point): Point => ({ x, y })

/** The ends of a logarithmic axis. */
const ratioExtent = (values: number[]): Range => [smallest(values) / 1.03, largest(values) * 1.03]

/**
 * The ends of the upright axis, with the runs left out that lie near the others, and where each of them is drawn:
 * `beyond` is the side on which one lies outside the plot.
 */
function withLeftOut(ys: number[], runs: RunMark[], logScales: boolean) {
  const out = runs.filter((run) => run.excluded !== null)
  const [least, most] = [smallest(ys), largest(ys)]
  const room = (most - least) / 2
  const near = out
    .map(({ y }) => y)
    .filter((y) => y >= least - room && y <= most + room && (y > 0 || !logScales))
  const all = [...ys, ...near]
  const range = (logScales ? ratioExtent(all) : extent(all)) as Range
  const placed = out.map((run) => {
    const beyond = run.y < range[0] ? (-1 as const) : run.y > range[1] ? (1 as const) : (0 as const)
    return { x: run.x, y: beyond === 0 ? run.y : range[beyond < 0 ? 0 : 1], beyond }
  })
  return { range, placed }
}

/** Target and tolerance in the shown unit. */
export function shownTolerance(given: Tolerance | null, { of }: Shown): Tolerance | null {
  return (
    given && {
      target: of(given.target),
      tolerance: given.tolerance === null ? null : of(given.tolerance),
    }
  )
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

/** The line with its bands, then all that is drawn beside it: runs, tolerance, working point. */
function curveTable(
  curve: FittedCurve,
  shown: Shown,
  beside: { runs: RunMark[]; tolerance: Tolerance | null; at: number | null },
): ChartTable {
  const width = curve.points.map((point) => decimalsOf(point, shown)).reduce((a, b) => Math.max(a, b), 0)
  return {
    columns: [
      'drawn',
      withUnit(curve.factor, curve.unit),
      withUnit(shown.name, shown.unit),
      'mean from',
      'mean to',
      'next run from',
      'next run to',
    ],
    rows: [
      ...curve.points.map((point) => [
        'fit',
        plainNumber(point.x),
        ...[point.estimate, ...point.confidence, ...point.prediction].map((value) =>
          fixed(shown.of(value), decimalsOf(point, shown)),
        ),
      ]),
      ...besideRows({ ...beside, places: width }).map((row) => [...row, '', '', '', '']),
    ],
  }
}

/** Rows of what stands beside a curve, in the shown unit: name, setting, value. */
export function besideRows(options: {
  runs: RunMark[]
  tolerance: Tolerance | null
  at: number | null
  places: number
}): string[][] {
  const { runs, tolerance, at, places } = options
  return [
    ...runs.map((run) => [
      run.excluded === null ? run.code : `${run.code} (left out)`,
      plainNumber(run.x),
      fixed(run.y, places),
    ]),
    ...(tolerance ? [['target', '', plainNumber(tolerance.target)]] : []),
    ...(tolerance && tolerance.tolerance !== null
      ? endsOf(tolerance).map((end, k) => [k === 0 ? 'lower limit' : 'upper limit', '', plainNumber(end)])
      : []),
    ...(at === null ? [] : [['working point', plainNumber(at), '']]),
  ]
}
