import type { Chart } from '../../shared/charts/chart.ts'
import { chartAsSvg, DrawnChart } from '../../shared/charts/drawn-chart.ts'

/** How a picture of a chart is made; `fineness` is points of the picture to a px of the screen. */
export type PictureOptions = {
  width: number
  height: number
  /** The colour behind it; null for none. */
  ground: string | null
}

const pen = document.createElement('canvas').getContext('2d')

function measure(text: string, font: string): number {
  if (!pen) return 0
  pen.font = font
  return pen.measureText(text).width
}

export function svgPicture(chart: Chart, options: PictureOptions): Blob {
  return new Blob([chartAsSvg(chart, { ...options, name: 'chart', measure })], { type: 'image/svg+xml' })
}

/** @param fineness points of the picture to a px of the screen */
export async function pngPicture(
  chart: Chart,
  options: PictureOptions & { fineness: number },
): Promise<Blob> {
  const { width, height, ground, fineness } = options
  const canvas = document.createElement('canvas')
  canvas.width = width
  canvas.height = height
  const { config } = chart
  const drawn = new DrawnChart(canvas, {
    ...config,
    options: { ...config.options, responsive: false, devicePixelRatio: fineness },
    plugins: [
      {
        id: 'ground',
        beforeDraw: ({ ctx }) => {
          if (ground === null) return
          ctx.save()
          ctx.fillStyle = ground
          ctx.fillRect(0, 0, width, height)
          ctx.restore()
        },
      },
      ...(config.plugins ?? []),
    ],
  })
  const picture = await new Promise<Blob | null>((done) => canvas.toBlob(done, 'image/png'))
  drawn.destroy()
  if (!picture) throw new Error('The browser could not make a PNG of the chart.')
  return picture
}
