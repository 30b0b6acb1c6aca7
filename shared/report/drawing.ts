import type { Chart } from '../charts/chart.ts'
import { chartAsSvg } from '../charts/drawn-chart.ts'
import { textWidth } from '../charts/svg/text-width.ts'
import type { ChartTheme } from '../charts/theme.ts'
import { type Html, html, markup } from './html.ts'

/**
 * A chart as a figure with words below it.
 *
 * @param options.name unlike that of every other drawing in the document
 */
export function figure(
  chart: Pick<Chart, 'config' | 'label'>,
  options: { name: string; theme: ChartTheme; words: string; width?: number; height?: number },
): Html {
  const { name, theme, words, width = 680, height = 360 } = options
  const svg = chartAsSvg(chart, { width, height, name, ground: theme.ground, measure: textWidth })
  return html`<figure>${markup(svg)}<figcaption>${words}</figcaption></figure>`
}
