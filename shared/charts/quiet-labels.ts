import type { Chart, Plugin } from 'chart.js'
import { faded } from './colour-scale.ts'
import type { ChartTheme } from './theme.ts'

type Spot = { x: number; y: number }
type Box = { left: number; top: number; width: number; height: number }

/** A word that names a level line or an upright line of a chart, at its value on that axis. */
export type GuideLabel = { words: string } & ({ level: { from: number; to: number } } | { upright: number })

const height = 20
const gap = 3
/** How near marks and lines may come, px. */
const clearance = 6

/** The first of the boxes that none of the spots lies in or near, nor another box; else the one that holds fewest. */
export function quietest(boxes: readonly Box[], spots: readonly Spot[], taken: readonly Box[]): Box | null {
  const troubles = boxes.map((box) => ({
    box,
    count:
      spots.filter(
        ({ x, y }) =>
          x > box.left - clearance &&
          x < box.left + box.width + clearance &&
          y > box.top - clearance &&
          y < box.top + box.height + clearance,
      ).length + (taken.some((other) => overlap(box, other)) ? 1000 : 0),
  }))
  return (
    troubles.reduce<(typeof troubles)[number] | null>(
      (best, one) => (best === null || one.count < best.count ? one : best),
      null,
    )?.box ?? null
  )
}

const overlap = (a: Box, b: Box) =>
  a.left < b.left + b.width &&
  b.left < a.left + a.width &&
  a.top < b.top + b.height &&
  b.top < a.top + a.height

/** Writes each word beside its line where no curve and no mark is, as far as there is room. */
export function quietLabels(theme: ChartTheme, labels: readonly GuideLabel[]): Plugin<'line'> {
  return {
    id: 'quietLabels',
    afterDatasetsDraw(chart) {
      const { ctx, chartArea: area, scales } = chart
      const { x, y } = scales
      if (!x || !y) return
      const spots = spotsOf(chart)
      const taken: Box[] = []
      ctx.save()
      ctx.font = `13px ${theme.font}`
      ctx.textAlign = 'left'
      ctx.textBaseline = 'middle'
      for (const label of labels) {
        const width = ctx.measureText(label.words).width + 8
        const boxes =
          'level' in label
            ? besideLevel(area, {
                width,
                low: y.getPixelForValue(label.level.from),
                high: y.getPixelForValue(label.level.to),
              })
            : besideUpright(area, { width, at: x.getPixelForValue(label.upright) })
        const box = quietest(boxes, spots, taken)
        if (!box) continue
        taken.push(box)
        ctx.fillStyle = faded(theme.ground, 0.85)
        ctx.fillRect(box.left, box.top, box.width, box.height)
        ctx.fillStyle = theme.ink
        ctx.fillText(label.words, box.left + 4, box.top + box.height / 2)
      }
      ctx.restore()
    },
  }
}

type Area = Chart<'line'>['chartArea']

/** Above and below the line or band, from the left, the right and between; inside a band that is tall enough last. */
function besideLevel(area: Area, { width, low, high }: { width: number; low: number; high: number }): Box[] {
  const lefts = [0, 1, 0.75, 0.25, 0.5].map(
    (share) => area.left + 4 + share * (area.right - area.left - width - 8),
  )
  const tops = [high - height - gap, low + gap].filter(
    (top) => top >= area.top && top + height <= area.bottom,
  )
  const within = low >= area.top && high <= area.bottom
  return within ? tops.flatMap((top) => lefts.map((left) => ({ left, top, width, height }))) : []
}

/** At the top of an upright line, at its foot, and beside it. */
function besideUpright(area: Area, { width, at }: { width: number; at: number }): Box[] {
  if (at < area.left || at > area.right) return []
  const inside = (left: number) => Math.min(Math.max(left, area.left + 2), area.right - width - 2)
  const lefts = [inside(at - width / 2), inside(at + gap), inside(at - width - gap)]
  const tops = [area.top + 2, area.bottom - height - 4, (area.top + area.bottom - height) / 2]
  return tops.flatMap((top) => lefts.map((left) => ({ left, top, width, height })))
}

/** Where lines and marks are drawn, px: lines every few px. */
function spotsOf(chart: Chart<'line'>): Spot[] {
  return chart.data.datasets.flatMap((dataset, index) => {
    const points: Spot[] = chart.getDatasetMeta(index).data.map(({ x, y }) => ({ x, y }))
    return dataset.showLine === false
      ? points
      : points.flatMap((point, k) => between(points[k - 1] ?? point, point))
  })
}

function between(from: Spot, to: Spot): Spot[] {
  const steps = Math.min(200, Math.max(1, Math.ceil(Math.hypot(to.x - from.x, to.y - from.y) / 5)))
  return Array.from({ length: steps }, (_, k) => ({
    x: from.x + ((to.x - from.x) * (k + 1)) / steps,
    y: from.y + ((to.y - from.y) * (k + 1)) / steps,
  }))
}
