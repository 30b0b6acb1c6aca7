import { onBeforeUnmount, onMounted } from 'vue'
import { onStudyFile, takeStudyFile } from './client.ts'
import { useNotices } from './stores/notices.ts'
import { usePendingImport } from './stores/pending-import.ts'

/** Looks into a study's file that a person opens from the system, before the program was started or while it is shown. */
export function useOpenedStudy() {
  const notices = useNotices()
  const pending = usePendingImport()

  async function take() {
    const answer = await takeStudyFile()
    if (!answer.ok) notices.complain(answer.problems)
    else if (answer.value) pending.lookInto(answer.value)
  }

  onMounted(take)
  onBeforeUnmount(onStudyFile(take))
}
