import { type ShallowRef, shallowRef, watch } from 'vue'

/** What is drawn of something that is being typed: it follows a frame later, so that a key never waits for the drawing. */
export function useLater<T>(now: () => T): ShallowRef<T> {
  const later = shallowRef(now()) as ShallowRef<T>
  let waiting = false
  watch(now, () => {
    if (waiting) return
    waiting = true
    requestAnimationFrame(() =>
      setTimeout(() => {
        waiting = false
        later.value = now()
      }),
    )
  })
  return later
}
