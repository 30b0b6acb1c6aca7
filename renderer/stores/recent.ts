import { defineStore } from 'pinia'
import { ref, watch } from 'vue'
import { useRoute } from './route.ts'

const key = 'evenfilm.recent'
/** So many studies are remembered. */
const most = 8

function kept(): string[] {
  try {
    const read: unknown = JSON.parse(localStorage.getItem(key) ?? '[]')
    return Array.isArray(read) ? read.filter((id) => typeof id === 'string').slice(0, most) : []
  } catch {
    return []
  }
}

/** The studies that were opened last on this computer, the newest first. */
export const useRecent = defineStore('recent', () => {
  const route = useRoute()
  const studyIds = ref(kept())

  watch(
    () => route.studyId,
    (studyId) => {
      if (studyId === null) return
      studyIds.value = [studyId, ...studyIds.value.filter((id) => id !== studyId)].slice(0, most)
      localStorage.setItem(key, JSON.stringify(studyIds.value))
    },
    { immediate: true },
  )

  return { studyIds }
})
