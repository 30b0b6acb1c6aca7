import { computed, ref } from 'vue'
import { stopTowards } from '../../shared/charts/crosshair.ts'
import type { WaferMark } from '../../shared/charts/wafer-marks.ts'
import { directions, leave } from './chart-keys.ts'

/** Going over a wafer map by the arrow keys: the mark that is reached, and what it says. */
export function useMapSteps(marks: () => readonly WaferMark[], choose: (index: number) => void) {
  const at = ref(-1)
  const reached = computed(() => marks()[at.value] ?? null)

  function onKey(event: KeyboardEvent) {
    if (event.ctrlKey || event.metaKey || event.altKey) return
    const direction = directions[event.key]
    if (direction) {
      const stops = marks().map(({ x, y, words }) => ({ x, y, words }))
      const place = (stop: { x: number; y?: number }) => ({ x: stop.x, y: stop.y ?? null })
      at.value = stopTowards(stops, { from: at.value, direction, place, along: 'both' })
    } else if (event.key === 'Enter' && reached.value) choose(at.value)
    else if (event.key === leave) at.value = -1
    else return
    event.preventDefault()
  }
  const forget = () => {
    at.value = -1
  }
  return { reached, said: computed(() => reached.value?.words ?? ''), onKey, forget }
}
