import { type Chart, chartOptions, configuration, extent, labelRoom, line, marks } from './chart.ts'
import { faded } from './colour-scale.ts'
import { besideRows, type FittedCurve, type RunMark, shownTolerance, toleranceWords } from './curve-chart.ts'
import { decimalsFor, fixed, plainNumber, quantity, type Shown, withUnit } from './format.ts'
import { type Tolerance, toleranceGuides, toleranceLabel, uprightGuide } from './guides.ts'
import { lineLabels } from './line-labels.ts'
import { quietLabels } from './quiet-labels.ts'
import { type ChartTheme, groupStyle } from './theme.ts'

export type GroupCurve = FittedCurve & { group: string }

/** The curves of several lots in one plot: each with its own mark and dash, named at its end. */
export function lotsChart(options: {
  curves: GroupCurve[]
  runs: (RunMark & { group: string })[]
  shown: Shown
  tolerance: Tolerance | null
  /** The working point on this factor, drawn as an upright line. */
  at: number | null
  theme: ChartTheme
}): Chart {
  const { curves, runs, shown, theme, at } = options
  const first = curves[0]
  const tolerance = shownTolerance(options.tolerance, shown)
  const xs = [...curves.flatMap((curve) => curve.points.map((point) => point.x)), ...runs.map((run) => run.x)]
  const [low, high] = extent(xs, 0.03)
  const places = curves
    .flatMap((curve) => curve.points.map((point) => placesOf(point, shown)))
    .reduce((a, b) => Math.max(a, b), 0)
  const runsOf = ({ group }: GroupCurve) =>
    runs.filter((run) => run.group === group).map((run) => ({ ...run, y: shown.of(run.y) }))
  /** A row of name, setting and value with the value in the column of a curve. */
  const inColumn = ([name = '', setting = '', value = '']: string[], k: number) => [
    name,
    setting,
    ...curves.map((_, i) => (i === k ? value : '')),
  ]
  const styles = curves.map((_, index) => groupStyle(theme, index))
  return {
    label: `${shown.name} against ${first?.factor ?? 'the factor'}: fitted curves of ${curves.map((curve) => curve.group).join(', ')}.`,
    config: configuration(
      curves.flatMap((curve, k) => {
        const { colour, dash, mark } = styles[k]!
        const own = runs.filter((run) => run.group === curve.group)
        const spot = (run: RunMark) => ({ x: run.x, y: shown.of(run.y) })
        // The lot with the fewest runs lies on top, so that no lot is hidden by another.
        const order = own.length / (runs.length + 1)
        const look = { order, pointStyle: mark, pointBorderColor: colour, pointRadius: 6 }
        return [
          line(
            theme,
            curve.points.map((point) => ({ x: point.x, y: shown.of(point.estimate) })),
            { borderColor: colour, borderDash: dash },
          ),
          marks(theme, own.filter((run) => run.excluded === null).map(spot), {
            ...look,
            // Runs of another lot at the same settings show through.
            pointBackgroundColor: faded(colour, 0.5),
          }),
          marks(theme, own.filter((run) => run.excluded !== null).map(spot), {
            ...look,
            pointBackgroundColor: 'transparent',
          }),
        ]
      }),
      chartOptions(
        theme,
        {
          x: { title: withUnit(first?.factor ?? '', first?.unit ?? ''), min: low, max: high },
          y: { title: withUnit(shown.name, shown.unit) },
        },
        {
          right: labelRoom,
          plugins: {
            annotation: {
              annotations: {
                ...(tolerance ? toleranceGuides(theme, tolerance) : {}),
                ...(at === null ? {} : { at: uprightGuide(theme, at) }),
              },
            },
          },
        },
      ),
      [
        lineLabels(
          theme,
          curves.flatMap((curve, k) => {
            const last = curve.points.at(-1)
            const end = last && { x: last.x, y: shown.of(last.estimate) }
            return end ? [{ at: end, words: curve.group, colour: styles[k]!.colour }] : []
          }),
        ),
        quietLabels(theme, [
          ...(tolerance ? [toleranceLabel(tolerance, toleranceWords(tolerance, shown))] : []),
          ...(at === null ? [] : [{ words: quantity(plainNumber(at), first?.unit ?? ''), upright: at }]),
        ]),
      ],
    ),
    table: {
      columns: [
        'drawn',
        withUnit(first?.factor ?? '', first?.unit ?? ''),
        ...curves.map((curve) => withUnit(curve.group, shown.unit)),
      ],
      rows: [
        ...(first?.points ?? []).map((point, k) => [
          'fit',
          plainNumber(point.x),
          ...curves.map((curve) => words(curve, k, shown)),
        ]),
        ...curves.flatMap((curve, k) =>
          besideRows({ runs: runsOf(curve), tolerance: null, at: null, places }).map((row) =>
            inColumn(row, k),
          ),
        ),
        ...besideRows({ runs: [], tolerance, at, places }).map((row) => inColumn(row, 0)),
      ],
    },
    crosshair: 'x',
    stops: (first?.points ?? []).map((point, k) => ({
      x: point.x,
      words:
        `At ${quantity(plainNumber(point.x), first?.unit ?? '')}: ` +
        curves.map((curve) => `${curve.group} ${words(curve, k, shown)}`).join(', ') +
        ` ${shown.unit}`,
    })),
  }
}

function words(curve: FittedCurve, k: number, shown: Shown): string {
  const point = curve.points[k]
  if (!point) return '–'
  return fixed(shown.of(point.estimate), placesOf(point, shown))
}

const placesOf = ({ confidence }: FittedCurve['points'][number], shown: Shown) =>
  decimalsFor(shown.of(confidence[1] - confidence[0]) / 4)
