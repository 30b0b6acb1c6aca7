import type { Plugin } from 'chart.js'
import { computed, onBeforeUnmount, onMounted, type Ref, ref, shallowRef, watch } from 'vue'
import { type Limits, type Range, wholeChart, withLimits } from '../../shared/charts/axis-limits.ts'
import type { Chart, Stop } from '../../shared/charts/chart.ts'
import { DrawnChart } from '../../shared/charts/drawn-chart.ts'
import type { ChartTheme } from '../../shared/charts/theme.ts'
import { crosshairLayer } from './crosshair-layer.ts'

/** A chart on a canvas: drawn anew when it changes, with the limits of its axes and the stop of its crosshair. */
export function useDrawn(options: {
  chart: Ref<Chart | null>
  canvas: Readonly<Ref<HTMLCanvasElement | null>>
  theme: Ref<ChartTheme>
}) {
  const { chart, canvas, theme } = options
  const drawn = shallowRef<DrawnChart<'line'> | null>(null)
  /** Limits by hand; they outlast new data. */
  const limits = shallowRef<Limits>(wholeChart)
  const stop = shallowRef<Stop | null>(null)
  /** Counts what moves the plot: drawing and a new size. */
  const redrawn = ref(0)

  /** The ends of an axis as it is drawn. */
  const rangeOf = (name: 'x' | 'y'): Range | null => {
    const scale = drawn.value?.scales[name]
    return scale ? [scale.min, scale.max] : null
  }

  /** Where the plot lies over the canvas, px, and the ends of its axes; null while nothing is drawn. */
  const plot = computed(() => {
    const [x, y, area] = [rangeOf('x'), rangeOf('y'), drawn.value?.chartArea]
    return x && y && area && redrawn.value > 0 ? { ...area, from: x[0], to: x[1], x, y } : null
  })

  /** The stops of the crosshair that lie in the part that is shown. */
  const stops = computed<Stop[]>(() => {
    const all = chart.value?.stops ?? []
    const shown = plot.value
    if (!shown || (limits.value.x === null && limits.value.y === null)) return all
    const within = (value: number, [low, high]: Range) => value >= low && value <= high
    return all.filter(({ x, y }) => within(x, shown.x) && (y === undefined || within(y, shown.y)))
  })

  /** Where a stop lies on the canvas, px. */
  const place = (each: Stop) => ({
    x: drawn.value?.scales.x?.getPixelForValue(each.x) ?? 0,
    y: each.y === undefined ? null : (drawn.value?.scales.y?.getPixelForValue(each.y) ?? 0),
  })

  function clear() {
    drawn.value?.destroy()
    drawn.value = null
  }

  /** What is drawn beside lines and marks; read at each drawing, so that it changes without a new chart. */
  let layers: Plugin<'line'>[] = []
  const layered = {
    id: 'layers',
    beforeDraw: (...given) => forEachLayer((layer) => layer.beforeDraw?.(...given)),
    beforeDatasetsDraw: (...given) => forEachLayer((layer) => layer.beforeDatasetsDraw?.(...given)),
    afterDatasetsDraw: (...given) => forEachLayer((layer) => layer.afterDatasetsDraw?.(...given)),
    afterDraw: (...given) => forEachLayer((layer) => layer.afterDraw?.(...given)),
    resize: () => void redrawn.value++,
  } satisfies Plugin<'line'>
  /** A layer that answers false would stop the drawing; ours have nothing to stop. */
  function forEachLayer(work: (layer: Plugin<'line'>) => unknown): undefined {
    for (const layer of layers) work(layer)
  }

  function draw() {
    stop.value = null
    if (!chart.value || !canvas.value) return clear()
    const config = withLimits(chart.value.config, limits.value)
    const crosshair = crosshairLayer({
      theme: theme.value,
      along: chart.value.crosshair,
      stop: () => stop.value,
    })
    layers = [crosshair, ...(config.plugins ?? [])]
    if (drawn.value && drawn.value.canvas === canvas.value) {
      // A chart made anew takes several times as long as one that is given new data.
      drawn.value.data = config.data
      drawn.value.options = config.options ?? {}
      drawn.value.update('none')
    } else {
      clear()
      drawn.value = new DrawnChart(canvas.value, { ...config, plugins: [layered] }) as DrawnChart<'line'>
    }
    redrawn.value++
  }

  watch([chart, limits, canvas], draw, { flush: 'post' })
  watch(stop, () => drawn.value?.draw())

  /** A browser does not tell the canvas that the paper is narrower than the screen. */
  const fit = () => drawn.value?.resize()
  onMounted(() => {
    draw()
    window.addEventListener('beforeprint', fit)
    window.addEventListener('afterprint', fit)
  })
  onBeforeUnmount(() => {
    clear()
    window.removeEventListener('beforeprint', fit)
    window.removeEventListener('afterprint', fit)
  })

  return { drawn, limits, stop, stops, place, plot, rangeOf }
}
