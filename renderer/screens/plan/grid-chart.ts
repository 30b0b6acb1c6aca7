import type { Plugin } from 'chart.js'
import { type Chart, chartOptions, configuration, line, marks } from '../../../shared/charts/chart.ts'
import { plainNumber, quantity, withUnit } from '../../../shared/charts/format.ts'
import type { ChartTheme } from '../../../shared/charts/theme.ts'
import type { Factor } from '../../../shared/contract/things.ts'
import { runKindWords } from '../../../shared/words.ts'
import { type DrawnRun, drawGrid, type GridAxis, type GridDrawing, type GridMark } from './grid-drawing.ts'
import { words } from './words.ts'

/** How far the drawing reaches from the region's middle, in half edges of the region: room for the axes' names. */
export const reach = { x: 2.05, y: 2.05 }

/** How each kind of mark is drawn: shapes differ, and hollow from filled, so that no colour is needed. */
const shapes = {
  grid: { pointStyle: 'circle', size: 5, filled: true },
  centre: { pointStyle: 'rectRot', size: 7, filled: false },
  made: { pointStyle: 'rect', size: 8, filled: false },
  next: { pointStyle: 'triangle', size: 7, filled: true },
} as const

/** The runs in the region of the first three factors, as a chart: its stops are the places of the runs. */
export function gridChart(options: {
  factors: readonly Factor[]
  runs: readonly DrawnRun[]
  theme: ChartTheme
}): Chart {
  const { factors, runs, theme } = options
  const drawing = drawGrid(factors, runs)
  const of = <T>(pick: (mark: GridMark) => T) => drawing.marks.map(pick)
  const chart = chartOptions(theme, {
    x: { title: '', min: -reach.x, max: reach.x },
    y: { title: '', min: -reach.y, max: reach.y },
  })
  return {
    label: words.grid.label(
      runs.length,
      factors.map(({ name }) => name),
    ),
    config: configuration(
      [
        ...drawing.edges.map(({ from, to, behind }) =>
          line(theme, [up(from), up(to)], {
            borderColor: theme.inkSoft,
            borderWidth: 1,
            ...(behind ? { borderDash: [3, 3] } : {}),
          }),
        ),
        marks(theme, drawing.marks.map(up), {
          pointStyle: of(({ kind }) => shapes[kind].pointStyle),
          pointRadius: of(({ kind, near }) => shapes[kind].size + near),
          pointBorderColor: theme.accent,
          pointBackgroundColor: of(({ kind }) => (shapes[kind].filled ? theme.accent : theme.ground)),
        }),
      ],
      {
        ...chart,
        layout: { padding: 0 },
        scales: { x: { ...chart.scales?.x, display: false }, y: { ...chart.scales?.y, display: false } },
      } as typeof chart,
      [wordsInDrawing(theme, drawing)],
    ),
    table: {
      columns: [words.grid.run, words.grid.kind, ...factors.map(({ name, unit }) => withUnit(name, unit))],
      rows: runs.map((run) => [
        run.name,
        run.made ? words.grid.made : runKindWords[run.kind],
        ...factors.map(({ name }) => shown(run.settings[name])),
      ]),
    },
    crosshair: 'both',
    stops: drawing.marks.map((mark) => ({ ...up(mark), words: stopWords(mark, factors) })),
  }
}

/** The drawing's y grows downwards, the chart's upwards. */
const up = ({ x, y }: { x: number; y: number }) => ({ x, y: -y })
const shown = (value: number | string | undefined) =>
  value === undefined ? '–' : typeof value === 'number' ? plainNumber(value) : value

function stopWords(mark: GridMark, factors: readonly Factor[]): string {
  const settings = factors
    .filter(({ name }) => mark.settings[name] !== undefined)
    .map(({ name, unit }) => `${name} ${quantity(shown(mark.settings[name]), unit)}`)
  return words.grid.stop(settings.join(', '), mark.names, mark.kind === 'made')
}

const isBeside = (one: GridMark, other: GridMark) =>
  Math.abs(one.x - other.x) < 0.5 && Math.abs(one.y - other.y) < 0.25

/** Names and ends of the axes, and how many runs share a place. */
function wordsInDrawing(theme: ChartTheme, { axes, marks: drawn }: GridDrawing): Plugin<'line'> {
  return {
    id: 'wordsInDrawing',
    afterDatasetsDraw({ ctx, scales, width }) {
      const { x, y } = scales
      if (!x || !y) return
      /** A word that would reach over the edge of the drawing is moved in. */
      const write = (text: string, at: { x: number; y: number }, by = { x: 0, y: 0 }) => {
        const before = { left: 0, center: 0.5, right: 1 }[ctx.textAlign as GridAxis['anchor']]
        const long = ctx.measureText(text).width
        const left = x.getPixelForValue(at.x) + by.x - before * long
        const inside = Math.max(0, Math.min(width - long, left)) + before * long
        ctx.fillText(text, inside, y.getPixelForValue(-at.y) + by.y)
      }
      ctx.save()
      ctx.font = `13px ${theme.font}`
      ctx.textBaseline = 'middle'
      for (const axis of axes) {
        ctx.textAlign = axis.anchor
        ctx.fillStyle = theme.ink
        write(axis.name, axis.at)
        ctx.fillStyle = theme.inkSoft
        write(axis.lowText, axis.low)
        write(axis.highText, axis.high)
      }
      ctx.fillStyle = theme.ink
      const counted = drawn.filter(({ runs }) => runs > 1)
      for (const mark of counted) {
        // Beside another number at its right it goes to the left, so that the two are not read as one.
        const crowded = counted.some((other) => other.x > mark.x && isBeside(other, mark))
        ctx.textAlign = crowded ? 'right' : 'left'
        write(String(mark.runs), mark, { x: crowded ? -9 : 9, y: -9 })
      }
      ctx.restore()
    },
  }
}
