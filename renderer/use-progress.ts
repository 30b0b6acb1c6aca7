import { onUnmounted, shallowRef } from 'vue'
import type { CallName } from '../shared/contract.ts'
import type { Progress } from '../shared/progress.ts'
import { callEngine, onProgress } from './client.ts'

/** How far the long calls of these names have come, of this page, and the way to cancel them. */
export function useProgress(...calls: CallName[]) {
  const progress = shallowRef<Progress | null>(null)
  onUnmounted(
    onProgress((told) => {
      if ((calls as string[]).includes(told.call)) progress.value = told
    }),
  )
  return {
    progress,
    /** Forgets how far it came; for when the call is answered. */
    over() {
      progress.value = null
    },
    async cancel() {
      await Promise.all(calls.map((call) => callEngine('application.cancel', { call })))
    },
  }
}
