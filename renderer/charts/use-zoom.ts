import { computed, type Ref, shallowRef } from 'vue'
import { type Limits, type Range, wholeChart, zoomed } from '../../shared/charts/axis-limits.ts'
import type { DrawnChart } from '../../shared/charts/drawn-chart.ts'

type Spot = { x: number; y: number }

/** How much less of a range one step closer shows. */
const step = 0.7
/** A drag shorter than this is a click that slipped, px. */
const leastDrag = 8

/** Looking closer at a part of a chart: by a rectangle drawn with the mouse, by steps about a place, back to the whole. */
export function useZoom(options: { drawn: Ref<DrawnChart<'line'> | null>; limits: Ref<Limits> }) {
  const { drawn, limits } = options
  const drag = shallowRef<{ from: Spot; to: Spot } | null>(null)

  /** The rectangle that is being drawn, px, cut to the plot. */
  const frame = computed(() => {
    const area = drawn.value?.chartArea
    if (!drag.value || !area) return null
    const { from, to } = drag.value
    const cut = (value: number, low: number, high: number) => Math.min(high, Math.max(low, value))
    const [x1, x2] = [from.x, to.x].map((x) => cut(x, area.left, area.right)).sort((a, b) => a - b) as Range
    const [y1, y2] = [from.y, to.y].map((y) => cut(y, area.top, area.bottom)).sort((a, b) => a - b) as Range
    return { left: x1, top: y1, width: x2 - x1, height: y2 - y1 }
  })

  /** @param about the place that stays, px; the middle of the plot where none is given */
  function zoom(direction: 'closer' | 'farther', about?: Spot) {
    const scales = drawn.value?.scales
    const area = drawn.value?.chartArea
    if (!scales?.x || !scales.y || !area) return
    const spot = about ?? { x: (area.left + area.right) / 2, y: (area.top + area.bottom) / 2 }
    const axis = (scale: NonNullable<typeof scales.x>, px: number) =>
      zoomed([scale.min, scale.max], {
        about: scale.getValueForPixel(px) ?? (scale.min + scale.max) / 2,
        by: direction === 'closer' ? step : 1 / step,
        logarithmic: scale.type === 'logarithmic',
      })
    limits.value = { x: axis(scales.x, spot.x), y: axis(scales.y, spot.y) }
  }

  function reset() {
    limits.value = wholeChart
  }

  function begin(from: Spot) {
    drag.value = { from, to: from }
  }

  function move(to: Spot) {
    if (drag.value) drag.value = { ...drag.value, to }
  }

  /** Shows what the rectangle holds. */
  function end() {
    const [scales, within] = [drawn.value?.scales, frame.value]
    drag.value = null
    if (!within || !scales?.x || !scales.y || Math.max(within.width, within.height) < leastDrag) return
    const values = (axis: NonNullable<typeof scales.x>, px: Range): Range =>
      px.map((at) => axis.getValueForPixel(at) ?? 0) as Range
    const x = values(scales.x, [within.left, within.left + within.width])
    const y = values(scales.y, [within.top + within.height, within.top])
    limits.value = {
      x: within.width < leastDrag ? limits.value.x : x,
      y: within.height < leastDrag ? limits.value.y : y,
    }
  }

  return { frame, zoom, reset, begin, move, end }
}
