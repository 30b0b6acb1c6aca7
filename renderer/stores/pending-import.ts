import { defineStore } from 'pinia'
import { ref } from 'vue'
import type { StudyFile } from '../../shared/bridge.ts'
import type { TextFile } from '../file-text.ts'

/** Files chosen or dropped elsewhere, for the screen that takes them: it takes them once, and leaves none behind. */
export const usePendingImport = defineStore('pendingImport', () => {
  /** For the import at the bench. */
  const files = ref<TextFile[]>([])
  /** For a study to be made around them. */
  const forNewStudy = ref<TextFile[]>([])
  /** The file of a study that is to be looked into. */
  const studyFile = ref<StudyFile | null>(null)
  /** Whether the dialog in which one is looked into lies over the page. */
  const lookingIn = ref(false)

  /** Looks into the file of a study, whatever screen is shown. */
  function lookInto(file: StudyFile) {
    studyFile.value = file
    lookingIn.value = true
  }

  return { files, forNewStudy, studyFile, lookingIn, lookInto }
})
