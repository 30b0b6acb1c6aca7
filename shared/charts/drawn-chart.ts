import {
  BasicPlatform,
  Chart,
  Filler,
  LinearScale,
  LineController,
  LineElement,
  LogarithmicScale,
  PointElement,
} from 'chart.js'
import annotation from 'chartjs-plugin-annotation'
import { escaped } from '../escaped.ts'
import type { Chart as ChartToDraw } from './chart.ts'
import { SvgContext } from './svg/svg-context.ts'

Chart.register(LineController, LineElement, PointElement, LinearScale, LogarithmicScale, Filler, annotation)

/** Chart.js with the few parts that our charts are made of: on a canvas of the page, and as SVG anywhere. */
export { Chart as DrawnChart }

/**
 * A chart as an SVG drawing, the same for the page and where there is none. Its words stay words.
 *
 * @param options.width px, as `height`
 * @param options.name unlike that of every other drawing in the same page
 * @param options.ground the colour behind it; null for none
 * @param options.measure the width of a text in a font, px
 */
export function chartAsSvg(
  { config, label }: Pick<ChartToDraw, 'config' | 'label'>,
  options: {
    width: number
    height: number
    name: string
    ground: string | null
    measure: (text: string, font: string) => number
  },
): string {
  const { width, height, ground } = options
  const context = new SvgContext(options)
  const canvas = Object.assign(context.canvas, { getContext: () => context, style: {} })
  const drawn = new Chart(canvas as unknown as HTMLCanvasElement, {
    ...config,
    platform: BasicPlatform,
    options: { ...config.options, responsive: false, devicePixelRatio: 1, animation: false },
  })
  const inside = context.toString()
  drawn.destroy()
  const behind = ground === null ? '' : `<rect width="${width}" height="${height}" fill="${ground}"/>`
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" ` +
    `viewBox="0 0 ${width} ${height}" role="img"><title>${escaped(label)}</title>${behind}${inside}</svg>`
  )
}
