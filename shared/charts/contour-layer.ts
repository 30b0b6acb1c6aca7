import type { Chart, Plugin } from 'chart.js'
import type { Point } from './chart.ts'
import { css, faded } from './colour-scale.ts'
import type { ContourBand } from './contour-bands.ts'
import type { ChartTheme } from './theme.ts'
import { mapScale } from './theme.ts'

type Level = { band: ContourBand; share: number; words: string }

/**
 * Draws filled contours under the marks with thin lines between them, the outlines of the tolerance in heavy dashes
 * and of the region that meets it in a heavy line; over the marks what the lines mean.
 *
 * @param options.levels bands from low to high, each with its place on the colour scale and its label
 * @param options.limits bands whose outlines are the limits of the tolerance
 */
export function contourLayer(options: {
  theme: ChartTheme
  levels: Level[]
  limits: { band: ContourBand; words: string }[]
  /** Where a wafer is in tolerance with the asked chance; null where that is not known. */
  region: { band: ContourBand; words: string } | null
  /** Places where single marks stand, in factor units: no label covers them. */
  keepClear: Point[]
}): Plugin<'line'> {
  const { theme } = options
  const colour = mapScale(theme.name)
  return {
    id: 'contours',
    beforeDatasetsDraw(chart) {
      const { ctx, chartArea } = chart
      ctx.save()
      ctx.beginPath()
      ctx.rect(chartArea.left, chartArea.top, chartArea.width, chartArea.height)
      ctx.clip()
      for (const { band, share } of options.levels) {
        trace(chart, band)
        ctx.fillStyle = css(colour(share))
        ctx.fill('evenodd')
        ctx.strokeStyle = theme.ground
        ctx.lineWidth = 0.75
        ctx.stroke()
      }
      for (const { band } of options.limits) outline(chart, band, theme, [7, 4])
      if (options.region) outline(chart, options.region.band, theme, [])
      ctx.restore()
    },
    afterDatasetsDraw(chart) {
      const { ctx } = chart
      ctx.save()
      const { x, y } = chart.scales
      const taken: Spot[] = options.keepClear.flatMap((point) =>
        x && y ? [{ x: x.getPixelForValue(point.x), y: y.getPixelForValue(point.y) }] : [],
      )
      if (options.region) drawLabel(chart, options.region.band, options.region.words, theme, taken)
      for (const { band, words } of options.limits) drawLabel(chart, band, words, theme, taken)
      for (const { band, words } of options.levels) drawLabel(chart, band, words, theme, taken)
      ctx.restore()
    },
  }
}

type Drawn = Chart<'line'>
type Spot = { x: number; y: number }

/** A heavy line with a rim, so that it shows on any colour. */
function outline(chart: Drawn, band: ContourBand, theme: ChartTheme, dash: number[]) {
  const { ctx } = chart
  trace(chart, band)
  ctx.strokeStyle = theme.ground
  ctx.lineWidth = 5
  ctx.stroke()
  ctx.strokeStyle = theme.ink
  ctx.lineWidth = 2.5
  ctx.setLineDash(dash)
  ctx.stroke()
  ctx.setLineDash([])
}

function trace(chart: Drawn, band: ContourBand) {
  const { ctx, scales } = chart
  const { x, y } = scales
  if (!x || !y) return
  ctx.beginPath()
  for (const polygon of band.polygons)
    for (const ring of polygon) {
      ring.forEach(([valueX, valueY], index) => {
        const at = [x.getPixelForValue(valueX), y.getPixelForValue(valueY)] as const
        if (index === 0) ctx.moveTo(...at)
        else ctx.lineTo(...at)
      })
      ctx.closePath()
    }
}

/** Writes the value of a level on its line, where no other label is near; nowhere if there is no room. */
function drawLabel(chart: Drawn, band: ContourBand, words: string, theme: ChartTheme, taken: Spot[]) {
  const spot = labelSpot(chart, band, taken)
  if (!spot || words === '') return
  taken.push(spot)
  const { ctx } = chart
  ctx.font = `12px ${theme.font}`
  ctx.textAlign = 'center'
  ctx.textBaseline = 'middle'
  const half = ctx.measureText(words).width / 2 + 3
  ctx.fillStyle = faded(theme.ground, 0.9)
  ctx.fillRect(spot.x - half, spot.y - 8, 2 * half, 16)
  ctx.fillStyle = theme.ink
  ctx.fillText(words, spot.x, spot.y)
}

const fromEdge = 26
const fromOthers = 34

function labelSpot(chart: Drawn, band: ContourBand, taken: Spot[]): Spot | null {
  const { chartArea, scales } = chart
  const { x, y } = scales
  if (!x || !y) return null
  const spots = band.polygons
    .flat(2)
    .map(([valueX, valueY]) => ({ x: x.getPixelForValue(valueX), y: y.getPixelForValue(valueY) }))
    .filter(
      (spot) =>
        spot.x > chartArea.left + fromEdge &&
        spot.x < chartArea.right - fromEdge &&
        spot.y > chartArea.top + fromEdge / 2 &&
        spot.y < chartArea.bottom - fromEdge / 2 &&
        taken.every((other) => Math.hypot(other.x - spot.x, other.y - spot.y) > fromOthers),
    )
  return spots[Math.floor(spots.length / 2)] ?? null
}
