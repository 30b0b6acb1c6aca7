import { defineStore } from 'pinia'
import { ref } from 'vue'

/** Whether Studies is to open at the form of the study in hand; who goes there for it says so first. */
export const useStudyForm = defineStore('study form', () => {
  const open = ref(false)
  return { open }
})
