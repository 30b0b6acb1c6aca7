import { defineStore } from 'pinia'
import { ref } from 'vue'
import { parseHash, type Screen, toHash } from './screens.ts'

/** Which screen is shown and of which study. Kept in the address, so that a reload comes back to it. */
export const useRoute = defineStore('route', () => {
  const start = parseHash(window.location.hash)
  const screen = ref<Screen>(start.screen)
  const studyId = ref<string | null>(start.studyId)
  /** The run in hand at the bench, where one was asked for. */
  const runId = ref<string | null>(start.runId)

  window.addEventListener('hashchange', () => {
    const place = parseHash(window.location.hash)
    screen.value = place.screen
    studyId.value = place.studyId
    runId.value = place.runId
  })

  /** Shows a screen; without `studyId` the study in hand stays. */
  function go(to: Screen, place: { studyId?: string | null; runId?: string | null } = {}) {
    const id = place.studyId === undefined ? studyId.value : place.studyId
    window.location.hash = toHash({ screen: to, studyId: id, runId: place.runId ?? null })
  }

  return { screen, studyId, runId, go }
})
