import { defineStore } from 'pinia'
import { ref } from 'vue'

/** A file chosen on another screen, for the bench to open its import with; it takes it and sets null. */
export const usePendingImport = defineStore('pendingImport', () => {
  const file = ref<{ fileName: string; text: string } | null>(null)
  return { file }
})
