import { defineStore } from 'pinia'
import { ref } from 'vue'

/** Where the work of a run is done at the bench; who goes there for it says so first. */
export type BenchWork = 'coat' | 'read'

/** The tab at which the bench is to open; it takes the question away. */
export const useBenchTab = defineStore('bench tab', () => {
  const asked = ref<BenchWork | null>(null)
  return { asked }
})
