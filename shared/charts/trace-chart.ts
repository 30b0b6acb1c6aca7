import type { StepHeight } from '../contract/results/trace.ts'
import { type Chart, chartOptions, configuration, extent, line, type Point } from './chart.ts'
import { fixed } from './format.ts'
import { levelGuide } from './guides.ts'
import type { ChartTheme } from './theme.ts'

/** As many pieces of the trace as a screen has columns: of each the lowest and the highest point are drawn. */
const pieces = 600
const stopCount = 120

/**
 * A profilometer trace, its height against position, with the parts that are evaluated and the two levels.
 *
 * @param options.positions in µm, rising; `heights` in nm
 * @param options.levelled whether the form (slope and bow) and the level outside are taken off the heights
 */
export function traceChart(options: {
  positions: readonly number[]
  heights: readonly number[]
  found: StepHeight | null
  levelled: boolean
  theme: ChartTheme
}): Chart {
  const { positions, heights, found, theme } = options
  const levelled = options.levelled && found !== null
  const form = (x: number) => {
    if (!found) return 0
    const along = x - found.level.at
    return found.level.height + found.slope * along + (found.bow ?? 0) * along ** 2
  }
  const base = (x: number) => (levelled ? form(x) : 0)
  const all = positions.map((x, i): Point => ({ x, y: (heights[i] as number) - base(x) }))
  const drawn = thinned(all)
  const [low, high] = extent(
    drawn.map((point) => point.y),
    0.08,
  )
  const levelOf = (region: [number, number], step: number): Point[] =>
    ends(region).map((x) => ({ x, y: form(x) + step - base(x) }))
  const regions = found ? regionsOf(found) : []
  const height = levelled ? 'height above the level (nm)' : 'height (nm)'
  return {
    label: label(found),
    config: configuration(
      [
        line(theme, drawn, { borderColor: theme.mark, borderWidth: 1 }),
        ...regions.map(({ region, step }) =>
          line(theme, levelOf(region, step), { borderColor: theme.outside, borderWidth: 3, order: 0 }),
        ),
      ],
      chartOptions(
        theme,
        {
          x: { title: 'position (µm)', min: positions[0] ?? 0, max: positions.at(-1) ?? 1 },
          y: { title: height, min: low, max: high },
        },
        {
          plugins: {
            annotation: {
              annotations: {
                ...(levelled ? { level: levelGuide(theme, 0) } : {}),
                ...Object.fromEntries(
                  regions.map(({ name, region }) => [
                    name,
                    {
                      type: 'box' as const,
                      xMin: region[0],
                      xMax: region[1],
                      backgroundColor: theme.bandConfidence,
                      borderWidth: 0,
                      drawTime: 'beforeDatasetsDraw' as const,
                    },
                  ]),
                ),
              },
            },
          },
        },
      ),
    ),
    table: {
      columns: ['drawn', 'position (µm)', height],
      rows: [
        ...regions.flatMap(({ name, region, step }) =>
          levelOf(region, step).map(({ x, y }) => [`level ${name}`, fixed(x, 2), fixed(y, 2)]),
        ),
        ...drawn.map(({ x, y }) => ['trace', fixed(x, 2), fixed(y, 2)]),
      ],
    },
    crosshair: 'x',
    stops: everyOf(all, stopCount).map(({ x, y }) => ({
      x,
      y,
      words: `${fixed(x, 1)} µm: ${fixed(y, 1)} nm`,
    })),
  }
}

function label(found: StepHeight | null): string {
  if (!found) return 'Profilometer trace: height against position; no step was found.'
  return `Profilometer trace: height against position, a ${found.kind} of ${fixed(found.step, 1)} nm.`
}

function regionsOf({ regions, step, kind }: StepHeight) {
  const { left, middle, right } = regions
  return [
    { name: 'left', region: left, step: 0 },
    ...(middle ? [{ name: 'middle', region: middle, step }] : []),
    { name: 'right', region: right, step: kind === 'edge' ? step : 0 },
  ]
}

/** Positions along a region, so many that a parabola looks round. */
const ends = ([from, to]: [number, number]) =>
  Array.from({ length: 9 }, (_, i) => from + ((to - from) * i) / 8)

function everyOf<T>(items: readonly T[], count: number): T[] {
  const size = Math.max(1, Math.ceil(items.length / count))
  return items.filter((_, i) => i % size === 0)
}

/** The lowest and the highest point of each piece in order: what a line through all of them looks like. */
function thinned(points: readonly Point[]): Point[] {
  const size = Math.ceil(points.length / pieces)
  if (size <= 2) return [...points]
  const kept: Point[] = []
  for (let start = 0; start < points.length; start += size) {
    const piece = points.slice(start, start + size)
    const low = piece.reduce((a, b) => (b.y < a.y ? b : a))
    const high = piece.reduce((a, b) => (b.y > a.y ? b : a))
    kept.push(...(low === high ? [low] : low.x < high.x ? [low, high] : [high, low]))
  }
  return kept
}
