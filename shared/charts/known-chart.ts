import type { KnownAlong } from '../contract/results/next.ts'
import { type Chart, chartOptions, configuration, line } from './chart.ts'
import { decimalsFor, fixed, plainNumber, quantity, type Shown, withUnit } from './format.ts'
import { uprightGuide } from './guides.ts'
import { lineLabels } from './line-labels.ts'
import { type ChartTheme, groupStyle } from './theme.ts'

/**
 * How far the mean is still uncertain along a factor: now, and after each of some runs.
 *
 * @param options.names of the lines: now, and after each run
 * @param options.marks settings of the factor that are drawn upright, with their words
 */
export function knownChart(options: {
  known: KnownAlong
  names: readonly string[]
  marks: readonly { x: number; words: string }[]
  title: string
  shown: Shown
  theme: ChartTheme
}): Chart {
  const { known, names, marks, title, shown, theme } = options
  const lines = names.map((name, k) => ({
    name,
    ...(k === 0 ? { colour: theme.ink, dash: [] } : groupStyle(theme, k - 1)),
    points: known.points.map(({ x, now, after }) => ({
      x,
      y: shown.of(k === 0 ? now : (after[k - 1] ?? now)),
    })),
  }))
  const places = decimalsFor(Math.min(...known.points.map(({ now }) => shown.of(now))))
  const at = (k: number, i: number) => fixed(lines[k]?.points[i]?.y, places)
  return {
    label: `${title} against ${known.factor}: ${names.join(', ')}.`,
    config: configuration(
      lines.map(({ points, colour, dash }) => line(theme, points, { borderColor: colour, borderDash: dash })),
      chartOptions(
        theme,
        {
          x: {
            title: withUnit(known.factor, known.unit),
            min: known.points[0]?.x ?? 0,
            max: known.points.at(-1)?.x ?? 1,
          },
          y: { title: withUnit(title, shown.unit) },
        },
        {
          right: 110,
          plugins: {
            annotation: {
              annotations: Object.fromEntries(
                marks.map(({ x, words }, i) => [`mark${i}`, uprightGuide(theme, x, words, 22 * i)]),
              ),
            },
          },
        },
      ),
      [
        lineLabels(
          theme,
          lines.flatMap(({ name, colour, points }) => {
            const end = points.at(-1)
            return end ? [{ at: end, words: name, colour }] : []
          }),
        ),
      ],
    ),
    table: {
      columns: [withUnit(known.factor, known.unit), ...names],
      rows: known.points.map(({ x }, i) => [plainNumber(x), ...lines.map((_, k) => at(k, i))]),
    },
    crosshair: 'x',
    stops: known.points.map(({ x }, i) => ({
      x,
      words:
        `At ${quantity(plainNumber(x), known.unit)}: ` +
        `${lines.map(({ name }, k) => `${name} ${at(k, i)}`).join(', ')} ${shown.unit}`,
    })),
  }
}
