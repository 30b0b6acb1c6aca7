import type { ChartConfiguration, ChartDataset, ChartOptions, Plugin } from 'chart.js'
import { plainNumber } from './format.ts'
import { roundLevels } from './round-levels.ts'
import type { ChartTheme } from './theme.ts'

/** A table that says what a chart draws, for reading and for copying. */
export type ChartTable = { columns: string[]; rows: string[][] }

/** A place at which the crosshair stops, in the units of the axes, and what it says there. */
export type Stop = { x: number; y?: number; words: string }

/**
 * A chart ready to draw: Chart.js configuration, a sentence for those who do not see it, the same as a
 * table, and the stops of the crosshair from left to right.
 */
export type Chart = {
  label: string
  config: ChartConfiguration<'line', Point[]>
  table: ChartTable
  /** Whether the crosshair stops at the nearest place along x, or the nearest in both directions. */
  crosshair: 'x' | 'both'
  stops: Stop[]
}

export type Point = { x: number; y: number }
export type Line = ChartDataset<'line', Point[]>

export type Axis = {
  title: string
  min?: number
  max?: number
  scale?: 'linear' | 'logarithmic'
  /** Labels of the ticks, where numbers would say less. */
  tick?: (value: number) => string
  /** Names in place of numbers, each at its place on the axis. */
  names?: { at: number; name: string }[]
}

/** Room right of the plot for labels at line ends, px. */
export const labelRoom = 92

/** What every chart has in common: no animation, no parsing, hairline grid, axes that name their unit. */
export function chartOptions(
  theme: ChartTheme,
  axes: { x: Axis; y: Axis },
  extra: { right?: number; plugins?: ChartOptions<'line'>['plugins'] } = {},
): ChartOptions<'line'> {
  return {
    animation: false,
    parsing: false,
    responsive: true,
    maintainAspectRatio: false,
    events: [],
    layout: { padding: { right: extra.right ?? 12, top: 10 } },
    font: { family: theme.font, size: 13 },
    color: theme.ink,
    scales: { x: axisOptions(theme, axes.x), y: axisOptions(theme, axes.y) },
    plugins: { legend: { display: false }, tooltip: { enabled: false }, ...extra.plugins },
  }
}

function axisOptions(theme: ChartTheme, axis: Axis) {
  const font = { family: theme.font, size: 13 }
  const { tick, names } = axis
  return {
    type: axis.scale ?? 'linear',
    ...(axis.min === undefined ? {} : { min: axis.min }),
    ...(axis.max === undefined ? {} : { max: axis.max }),
    grid: { color: theme.grid, tickColor: theme.inkSoft },
    ...(names
      ? {
          afterBuildTicks: (scale: { ticks: { value: number }[] }) => {
            scale.ticks = names.map(({ at }) => ({ value: at }))
          },
        }
      : axis.scale === 'logarithmic'
        ? {
            // Chart.js's own would crowd within a decade.
            afterBuildTicks: (scale: { min: number; max: number; ticks: { value: number }[] }) => {
              scale.ticks = logarithmicTicks(scale.min, scale.max).map((value) => ({ value }))
            },
          }
        : {}),
    border: { color: theme.inkSoft },
    title: { display: axis.title !== '', text: axis.title, color: theme.ink, font },
    ticks: {
      color: theme.ink,
      font,
      maxRotation: 0,
      autoSkip: !names,
      autoSkipPadding: 12,
      includeBounds: false,
      callback: (value: string | number) =>
        names?.find(({ at }) => at === value)?.name ?? (tick ?? tickLabel)(Number(value)),
    },
  } as const
}

/** 1, 2 and 5 of each decade where the axis holds enough of them, else round steps. */
export function logarithmicTicks(low: number, high: number): number[] {
  const [first, last] = [Math.floor(Math.log10(low)), Math.ceil(Math.log10(high))]
  const coarse = Array.from({ length: Math.max(0, last - first) }, (_, k) => 10 ** (first + k))
    .flatMap((decade) => [decade, 2 * decade, 5 * decade])
    .filter((value) => value >= low && value <= high)
  return coarse.length >= 4 ? coarse : roundLevels(low, high, 7)
}

const tickLabel = (value: number) => plainNumber(value, 8)

/** A line without marks. Lines lie over bands and under marks. */
export function line(theme: ChartTheme, data: Point[], style: Partial<Line> = {}): Line {
  return { data, order: 1, pointRadius: 0, borderColor: theme.accent, borderWidth: 2, fill: false, ...style }
}

/** From so many marks on they are drawn small, so that lines, bands and contours show between them. */
export const crowd = 100

/** Marks without a line. */
export function marks(theme: ChartTheme, data: Point[], style: Partial<Line> = {}): Line {
  const radius = style.pointRadius ?? 5
  return {
    data,
    order: 0,
    showLine: false,
    pointBorderWidth: 1.5,
    pointBorderColor: theme.mark,
    pointBackgroundColor: theme.mark,
    clip: false,
    ...style,
    pointRadius: typeof radius === 'number' && data.length >= crowd ? 2 : radius,
  }
}

/** A band between two lines: two data sets, the first filled down to the second. */
export function band(low: Point[], high: Point[], colours: { fill: string; edge: string }): Line[] {
  const style = { order: 2, pointRadius: 0, borderWidth: 1, borderColor: colours.edge, borderDash: [4, 3] }
  return [
    { ...style, data: high, fill: '+1', backgroundColor: colours.fill },
    { ...style, data: low, fill: false },
  ]
}

/** The configuration of a chart of lines and marks. */
export function configuration(
  datasets: Line[],
  options: ChartOptions<'line'>,
  plugins: Plugin<'line'>[] = [],
): ChartConfiguration<'line', Point[]> {
  return { type: 'line', data: { datasets }, options, plugins }
}

/** Lowest and highest of the numbers, widened by a share of their distance; 0 to 1 where there are none. */
export function extent(values: number[], share = 0.06): [number, number] {
  const finite = values.filter(Number.isFinite)
  if (finite.length === 0) return [0, 1]
  const low = finite.reduce((a, b) => Math.min(a, b))
  const high = finite.reduce((a, b) => Math.max(a, b))
  const room = high > low ? (high - low) * share : Math.abs(low) * 0.05 || 1
  return [low - room, high + room]
}
