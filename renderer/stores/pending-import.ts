import { defineStore } from 'pinia'
import { ref } from 'vue'
import type { StudyFile, TextFile } from '../file-text.ts'

/** Files chosen or dropped elsewhere, for the screen that takes them: it takes them once, and leaves none behind. */
export const usePendingImport = defineStore('pendingImport', () => {
  /** For the import at the bench. */
  const files = ref<TextFile[]>([])
  /** For a study to be made around them. */
  const forNewStudy = ref<TextFile[]>([])
  /** The file of a study that is to be looked into. */
  const studyFile = ref<StudyFile | null>(null)

  return { files, forNewStudy, studyFile }
})
