import { onBeforeUnmount, onMounted, ref } from 'vue'
import { bytesOf, isStudyFile, readFile } from './file-text.ts'
import { usePendingImport } from './stores/pending-import.ts'
import { useRoute } from './stores/route.ts'
import { dialogIsOpen } from './typing.ts'
import { words } from './words.ts'

const holdsFiles = (event: DragEvent) => [...(event.dataTransfer?.types ?? [])].includes('Files')

/**
 * Files dropped anywhere on the page: with a study in hand they go to its import, without one they begin a study. A part of
 * the page that takes files itself, or a dialog, keeps them. Nothing is brought in before a person has looked.
 */
export function useFileDrop() {
  const route = useRoute()
  const pending = usePendingImport()
  /** What would be done with the files that are held over the page; empty while none are. */
  const over = ref('')

  const beginsStudy = () => route.studyId === null || route.screen === 'studies'

  function hold(event: DragEvent) {
    if (!holdsFiles(event)) return
    // Without this the browser would leave the page for the file.
    const taken = event.defaultPrevented
    event.preventDefault()
    over.value =
      taken || dialogIsOpen() ? '' : beginsStudy() ? words.fileDrop.beginStudy : words.fileDrop.intoStudy
  }

  function leave(event: DragEvent) {
    if (event.relatedTarget === null) over.value = ''
  }

  async function drop(event: DragEvent) {
    over.value = ''
    if (!holdsFiles(event) || event.defaultPrevented) return
    event.preventDefault()
    const files = [...(event.dataTransfer?.files ?? [])]
    if (files.length === 0 || dialogIsOpen()) return
    const study = files.find(isStudyFile)
    if (study) return pending.lookInto(await bytesOf(study))
    const [begins, read] = [beginsStudy(), await Promise.all(files.map(readFile))]
    if (begins) pending.forNewStudy = read
    else pending.files = read
    route.go(begins ? 'studies' : 'bench')
  }

  onMounted(() => {
    window.addEventListener('dragover', hold)
    window.addEventListener('dragleave', leave)
    window.addEventListener('drop', drop)
  })
  onBeforeUnmount(() => {
    window.removeEventListener('dragover', hold)
    window.removeEventListener('dragleave', leave)
    window.removeEventListener('drop', drop)
  })
  return { over }
}
