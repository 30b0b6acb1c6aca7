import { defineStore } from 'pinia'
import { ref } from 'vue'

/** Whether the form to plan the rest of a broken plan anew stands open; the bench opens it before it goes there. */
export const useReplan = defineStore('replan', () => {
  const open = ref(false)
  return { open }
})
