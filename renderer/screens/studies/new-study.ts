import { defineStore } from 'pinia'
import { ref } from 'vue'
import { newStudy } from './draft.ts'

/** The form of a new study. It waits, as it was left, until the study is made or the form is cleared. */
export const useNewStudy = defineStore('newStudy', () => {
  const form = ref(newStudy())
  function clear() {
    form.value = newStudy()
  }
  return { form, clear }
})
