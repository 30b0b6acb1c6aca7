import type { Chart } from 'chart.js'

/** How many times finer than the screen a saved picture is. */
const fineness = 3

/** Draws the chart finer, hands its picture to the browser as a PNG file, and puts the chart back. */
export async function savePicture(chart: Chart, fileName: string): Promise<void> {
  const before = chart.options.devicePixelRatio ?? window.devicePixelRatio
  chart.options.devicePixelRatio = fineness
  chart.resize()
  const picture = await new Promise<Blob | null>((done) => chart.canvas.toBlob(done, 'image/png'))
  chart.options.devicePixelRatio = before
  chart.resize()
  if (!picture) return
  const address = URL.createObjectURL(picture)
  const link = document.createElement('a')
  link.href = address
  link.download = `${fileName}.png`
  link.click()
  setTimeout(() => URL.revokeObjectURL(address), 1000)
}
