import { onBeforeUnmount, ref, shallowRef, watch } from 'vue'
import type { KeptItem, ReportItem } from '../../../shared/contract/report.ts'
import type { Result } from '../../../shared/contract.ts'
import type { Problem } from '../../../shared/problem.ts'
import { readTheme } from '../../charts/use-theme.ts'
import { callEngine, onChanged } from '../../client.ts'
import { useNotices } from '../../stores/notices.ts'
import { useSettings } from '../../stores/settings.ts'
import { useStudy } from '../../stores/study.ts'
import { useNewest } from '../../use-newest.ts'

/** The report of the study in hand, made anew after every change of the data, of its parts and of the theme. */
export function useReport() {
  const store = useStudy()
  const settings = useSettings()
  const notices = useNotices()
  const items = ref<KeptItem[]>([])
  const shown = shallowRef<Result<'reports.document'> | null>(null)
  const problems = ref<Problem[]>([])
  const loading = ref(true)
  const { newest } = useNewest()

  async function load() {
    const studyId = store.study?.id
    if (studyId === undefined) return
    loading.value = true
    const answers = await newest(
      Promise.all([
        callEngine('reports.items', { studyId }),
        callEngine('reports.document', { studyId, theme: readTheme(settings.theme) }),
      ]),
    )
    if (!answers) return
    const [kept, made] = answers
    if (kept.ok) items.value = kept.value.items
    if (made.ok) shown.value = made.value
    problems.value = made.ok ? [] : made.problems
    loading.value = false
  }

  /** Keeps the order; what is shown follows from the database. */
  async function arrange(wanted: ReportItem[]) {
    const studyId = store.study?.id
    if (studyId === undefined) return
    const before = new Map(items.value.map((item) => [item.kind === 'note' ? item.id : '', item]))
    // At once, so that the list does not wait for the document.
    items.value = wanted.map((item) =>
      item.kind === 'part' ? item : { at: '', dataHash: '', ...before.get(item.id), ...item },
    )
    const answer = await callEngine('reports.arrange', { studyId, items: wanted })
    if (!answer.ok) notices.complain(answer.problems)
  }

  watch([() => store.study?.id, () => settings.theme], load, { immediate: true, flush: 'post' })
  onBeforeUnmount(onChanged(() => void load()))

  return { items, shown, loading, problems, arrange }
}
