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

  function read() {
    const place = parseHash(window.location.hash)
    screen.value = place.screen
    studyId.value = place.studyId
    runId.value = place.runId
  }
  window.addEventListener('hashchange', read)

  /** Shows a screen; without `studyId` the study in hand stays. */
  function go(to: Screen, place: { studyId?: string | null; runId?: string | null } = {}) {
    const id = place.studyId === undefined ? studyId.value : place.studyId
    window.location.hash = toHash({ screen: to, studyId: id, runId: place.runId ?? null })
    // The event comes later than the next key: what is pressed meanwhile must already find the new place.
    read()
  }

  return { screen, studyId, runId, go }
})
