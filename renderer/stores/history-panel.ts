import { defineStore } from 'pinia'
import { ref } from 'vue'

/** Whether the history lies beside the work, and of which run: null for the whole study. */
export const useHistoryPanel = defineStore('historyPanel', () => {
  const open = ref(false)
  const runId = ref<string | null>(null)
  let opener: Element | null = null

  function show(ofRun: string | null = null) {
    if (!open.value) opener = document.activeElement
    runId.value = ofRun
    open.value = true
  }

  /** The cursor goes back to where it was. */
  function close() {
    open.value = false
    if (opener instanceof HTMLElement) opener.focus()
  }

  return { open, runId, show, close, toggle: () => (open.value ? close() : show()) }
})
