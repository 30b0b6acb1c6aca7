import type { Plugin } from 'chart.js'
import type { Point } from './chart.ts'
import type { ChartTheme } from './theme.ts'

/** A word beside the right end of a line. */
export type LineLabel = { at: Point; words: string; colour: string }

/**
 * Heights of labels that must not overlap: as near as can be to where they belong, in the same order, at
 * least `gap` apart, pushed back up where the lowest would fall below `bottom`. Pixels, y downwards.
 */
export function spread(heights: number[], gap: number, bottom: number): number[] {
  const order = heights.map((height, index) => ({ height, index })).sort((a, b) => a.height - b.height)
  for (let k = 1; k < order.length; k++)
    order[k]!.height = Math.max(order[k]!.height, order[k - 1]!.height + gap)
  let floor = bottom
  for (let k = order.length - 1; k >= 0; k--) {
    order[k]!.height = Math.min(order[k]!.height, floor)
    floor = order[k]!.height - gap
  }
  const placed = new Array<number>(heights.length)
  for (const { height, index } of order) placed[index] = height
  return placed
}

/** Draws each label right of the plot beside the end of its line. */
export function lineLabels(theme: ChartTheme, labels: LineLabel[]): Plugin<'line'> {
  return {
    id: 'lineLabels',
    afterDatasetsDraw(chart) {
      const { ctx, chartArea, scales } = chart
      const { x, y } = scales
      if (!x || !y) return
      // What a closer look leaves out has no name beside the plot.
      const shown = labels.filter(({ at }) => at.x <= x.max && at.y >= y.min && at.y <= y.max)
      const heights = spread(
        shown.map((label) => y.getPixelForValue(label.at.y)),
        16,
        chartArea.bottom,
      )
      ctx.save()
      ctx.font = `13px ${theme.font}`
      ctx.textBaseline = 'middle'
      ctx.textAlign = 'left'
      shown.forEach((label, index) => {
        ctx.fillStyle = label.colour
        ctx.fillText(label.words, chartArea.right + 6, heights[index]!)
      })
      ctx.restore()
    },
  }
}
