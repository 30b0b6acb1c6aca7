import { type Chart, chartOptions, configuration, extent, labelRoom, line, marks } from './chart.ts'
import { type FittedCurve, type RunMark, toleranceWords } from './curve-chart.ts'
import { decimalsFor, fixed, plainNumber, quantity, type Shown, withUnit } from './format.ts'
import { type Tolerance, toleranceGuides } from './guides.ts'
import { lineLabels } from './line-labels.ts'
import { type ChartTheme, groupStyle } from './theme.ts'

export type GroupCurve = FittedCurve & { group: string }

/** The curves of several lots in one plot: each with its own mark and dash, named at its end. */
export function lotsChart(options: {
  curves: GroupCurve[]
  runs: (RunMark & { group: string })[]
  shown: Shown
  tolerance: Tolerance | null
  theme: ChartTheme
}): Chart {
  const { curves, runs, shown, theme } = options
  const first = curves[0]
  const tolerance = options.tolerance && {
    target: shown.of(options.tolerance.target),
    tolerance: options.tolerance.tolerance === null ? null : shown.of(options.tolerance.tolerance),
  }
  const xs = [...curves.flatMap((curve) => curve.points.map((point) => point.x)), ...runs.map((run) => run.x)]
  const [low, high] = extent(xs, 0.03)
  const styles = curves.map((_, index) => groupStyle(theme, index))
  return {
    label: `${shown.name} against ${first?.factor ?? 'the factor'}: fitted curves of ${curves.map((curve) => curve.group).join(', ')}.`,
    config: configuration(
      curves.flatMap((curve, k) => {
        const { colour, dash, mark } = styles[k]!
        const own = runs.filter((run) => run.group === curve.group)
        const at = (run: RunMark) => ({ x: run.x, y: shown.of(run.y) })
        const look = { pointStyle: mark, pointBorderColor: colour, pointRadius: 6 }
        return [
          line(
            theme,
            curve.points.map((point) => ({ x: point.x, y: shown.of(point.estimate) })),
            { borderColor: colour, borderDash: dash },
          ),
          marks(theme, own.filter((run) => run.excluded === null).map(at), {
            ...look,
            pointBackgroundColor: colour,
          }),
          marks(theme, own.filter((run) => run.excluded !== null).map(at), {
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
              annotations: tolerance
                ? toleranceGuides(theme, tolerance, toleranceWords(tolerance, shown))
                : {},
            },
          },
        },
      ),
      [
        lineLabels(
          theme,
          curves.flatMap((curve, k) => {
            const last = curve.points.at(-1)
            const at = last && { x: last.x, y: shown.of(last.estimate) }
            return at ? [{ at, words: curve.group, colour: styles[k]!.colour }] : []
          }),
        ),
      ],
    ),
    table: {
      columns: [withUnit(first?.factor ?? '', first?.unit ?? ''), ...curves.map((curve) => curve.group)],
      rows: (first?.points ?? []).map((point, k) => [
        plainNumber(point.x),
        ...curves.map((curve) => words(curve, k, shown)),
      ]),
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
  return fixed(shown.of(point.estimate), decimalsFor(shown.of(point.confidence[1] - point.confidence[0]) / 4))
}
