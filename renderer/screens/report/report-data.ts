import { onBeforeUnmount, ref, shallowRef, watch } from 'vue'
import type { Result } from '../../../shared/contract.ts'
import { callEngine, onChanged } from '../../client.ts'
import { useStudy } from '../../stores/study.ts'

/** What the report shows beyond the study, its runs and its fit: the ledger of predictions, and the version. */
export function useReportData() {
  const store = useStudy()
  const ledger = shallowRef<Result<'next.ledger'>['entries']>([])
  const about = shallowRef<Result<'application.about'> | null>(null)
  const loading = ref(true)

  async function load() {
    const studyId = store.study?.id
    if (studyId === undefined) return
    const [kept, application] = await Promise.all([
      callEngine('next.ledger', { studyId }),
      callEngine('application.about', {}),
    ])
    ledger.value = kept.ok ? kept.value.entries : []
    about.value = application.ok ? application.value : null
    loading.value = false
  }

  watch(() => store.study?.id, load, { immediate: true })
  onBeforeUnmount(onChanged(() => void load()))

  return { ledger, about, loading }
}
