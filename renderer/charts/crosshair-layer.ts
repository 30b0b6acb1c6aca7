import type { Plugin } from 'chart.js'
import type { Chart, Stop } from '../../shared/charts/chart.ts'
import type { ChartTheme } from '../../shared/charts/theme.ts'

/** Fills the ground, so that a saved picture is not transparent, and draws the crosshair at a stop. */
export function crosshairLayer(options: {
  theme: ChartTheme
  along: Chart['crosshair']
  stop: () => Stop | null
}): Plugin<'line'> {
  const { theme } = options
  return {
    id: 'crosshair',
    beforeDraw({ ctx, width, height }) {
      ctx.save()
      ctx.fillStyle = theme.ground
      ctx.fillRect(0, 0, width, height)
      ctx.restore()
    },
    afterDraw({ ctx, chartArea, scales }) {
      const stop = options.stop()
      const { x, y } = scales
      if (!stop || !x || !y) return
      const across = x.getPixelForValue(stop.x)
      const down = stop.y === undefined ? null : y.getPixelForValue(stop.y)
      ctx.save()
      ctx.strokeStyle = theme.ink
      ctx.lineWidth = 1
      ctx.beginPath()
      ctx.moveTo(across, chartArea.top)
      ctx.lineTo(across, chartArea.bottom)
      if (down !== null && options.along === 'both') {
        ctx.moveTo(chartArea.left, down)
        ctx.lineTo(chartArea.right, down)
      }
      ctx.stroke()
      if (down !== null) {
        ctx.beginPath()
        ctx.arc(across, down, 6, 0, 2 * Math.PI)
        ctx.fillStyle = theme.ground
        ctx.fill()
        ctx.lineWidth = 2
        ctx.stroke()
      }
      ctx.restore()
    },
  }
}
