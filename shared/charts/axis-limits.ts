import type { Chart, Line } from './chart.ts'

export type Range = [low: number, high: number]

/** What part of a chart is shown; null for an axis that is shown whole. */
export type Limits = { x: Range | null; y: Range | null }

export const wholeChart: Limits = { x: null, y: null }

/** The configuration of a chart with its axes at these limits. Marks outside the plot are then cut off. */
export function withLimits(config: Chart['config'], limits: Limits): Chart['config'] {
  if (limits.x === null && limits.y === null) return config
  const scales = config.options?.scales
  const axis = (name: 'x' | 'y') => {
    const range = limits[name]
    return range === null ? scales?.[name] : { ...scales?.[name], min: range[0], max: range[1] }
  }
  const datasets: Line[] = config.data.datasets.map((one) => ({ ...one, clip: 0 }))
  return {
    ...config,
    data: { ...config.data, datasets },
    options: { ...config.options, scales: { ...scales, x: axis('x'), y: axis('y') } },
  } as Chart['config']
}

/**
 * A range made larger or smaller about a place that stays where it is on the screen.
 *
 * @param options.by the new length as a share of the old one: below 1 shows less
 * @param options.logarithmic whether the axis is, so that the range is measured in ratios
 */
export function zoomed(
  [low, high]: Range,
  options: { about: number; by: number; logarithmic: boolean },
): Range {
  const { by, logarithmic } = options
  const into = logarithmic ? Math.log : (value: number) => value
  const back = logarithmic ? Math.exp : (value: number) => value
  const about = into(options.about)
  const end = (value: number) => back(about + (into(value) - about) * by)
  return [end(low), end(high)]
}
