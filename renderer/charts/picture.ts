import type { Chart } from '../../shared/charts/chart.ts'
import { chartAsSvg, DrawnChart } from '../../shared/charts/drawn-chart.ts'
import type { ChartTheme } from '../../shared/charts/theme.ts'

/** How a picture of a chart is made; `fineness` is points of the picture to a px of the screen. */
export type PictureOptions = {
  width: number
  height: number
  /** The colour behind it; null for none. */
  ground: string | null
}

/** Makes a picture in a theme, PNG of a fineness or, where it is null, SVG; null while there is nothing to draw. */
export type MakePicture = (
  theme: ChartTheme,
  options: { ground: string | null; fineness: number | null },
) => Promise<Blob | null>

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
  const picture = await pngOf(canvas)
  drawn.destroy()
  return picture
}

/**
 * A drawing as PNG.
 *
 * @param options.width, options.height of the drawing, px
 * @param options.fineness points of the picture to a px of the drawing
 */
export async function svgAsPng(
  svg: string,
  { width, height, fineness }: { width: number; height: number; fineness: number },
): Promise<Blob> {
  const image = new Image(width, height)
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`
  await image.decode()
  const canvas = document.createElement('canvas')
  canvas.width = fineness * width
  canvas.height = fineness * height
  canvas.getContext('2d')?.drawImage(image, 0, 0, canvas.width, canvas.height)
  return pngOf(canvas)
}

async function pngOf(canvas: HTMLCanvasElement): Promise<Blob> {
  const picture = await new Promise<Blob | null>((done) => canvas.toBlob(done, 'image/png'))
  if (!picture) throw new Error('The browser could not make a PNG of the chart.')
  return picture
}

/** The bytes of a picture as text, the way files go to the desktop window. */
export function inBase64(picture: Blob): Promise<string> {
  return new Promise((done, fail) => {
    const reader = new FileReader()
    reader.onload = () => done(String(reader.result).replace(/^[^,]*,/, ''))
    reader.onerror = () => fail(reader.error)
    reader.readAsDataURL(picture)
  })
}
