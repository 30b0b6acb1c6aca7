import { onBeforeUnmount, ref, shallowRef, watch } from 'vue'
import type { Result } from '../../../shared/contract.ts'
import type { Problem } from '../../../shared/problem.ts'
import { callEngine, onChanged } from '../../client.ts'
import { useStudy } from '../../stores/study.ts'

/** What the report shows beyond the study and its runs: the fit of the chosen model, the ledger, the version. */
export function useReportData() {
  const store = useStudy()
  const fit = shallowRef<Result<'fits.fit'> | null>(null)
  const fitProblems = ref<Problem[]>([])
  const ledger = shallowRef<Result<'next.ledger'>>([])
  const about = shallowRef<Result<'application.about'> | null>(null)
  const loading = ref(true)

  async function load() {
    const study = store.study
    if (study === null) return
    const { id: studyId, model } = study
    const [fitted, kept, application] = await Promise.all([
      model === null ? null : callEngine('fits.fit', { studyId, response: 'thickness', model }),
      callEngine('next.ledger', { studyId }),
      callEngine('application.about', {}),
    ])
    fit.value = fitted?.ok ? fitted.value : null
    fitProblems.value = fitted && !fitted.ok ? fitted.problems : []
    ledger.value = kept.ok ? kept.value : []
    about.value = application.ok ? application.value : null
    loading.value = false
  }

  watch(() => store.study?.model, load, { immediate: true })
  onBeforeUnmount(onChanged(() => void load()))

  return { fit, fitProblems, ledger, about, loading }
}
