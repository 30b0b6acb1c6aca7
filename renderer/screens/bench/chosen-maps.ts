import { defineStore } from 'pinia'
import { ref, watch } from 'vue'
import { useRoute } from '../../stores/route.ts'

/** The runs of the study in hand whose wafer maps stand side by side, by id. */
export const useChosenMaps = defineStore('chosenMaps', () => {
  const route = useRoute()
  const ids = ref<string[]>([])
  watch(
    () => route.studyId,
    () => {
      ids.value = []
    },
  )
  return { ids }
})
