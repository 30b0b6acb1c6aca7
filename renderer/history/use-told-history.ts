import { onBeforeUnmount, ref, shallowRef, watch } from 'vue'
import type { ToldStep } from '../../shared/contract/results/history.ts'
import type { Problem } from '../../shared/problem.ts'
import { callEngine, onChanged } from '../client.ts'
import { soon } from '../soon.ts'
import { useHistoryPanel } from '../stores/history-panel.ts'
import { useRoute } from '../stores/route.ts'
import { useNewest } from '../use-newest.ts'

/** Steps that are read at once, and the most of them. */
const [few, most] = [30, 200]

/** The steps of the study in hand, or of one of its runs, newest first, read a page at a time and anew after each change. */
export function useToldHistory() {
  const route = useRoute()
  const panel = useHistoryPanel()
  const steps = shallowRef<ToldStep[]>([])
  const earlier = ref<number | null>(null)
  const loading = ref(true)
  const problems = ref<Problem[]>([])
  const { newest } = useNewest()

  async function load(from: { before?: number; limit: number }) {
    const { studyId } = route
    if (studyId === null) return panel.close()
    loading.value = true
    const runId = panel.runId ?? undefined
    const answer = await newest(callEngine('history.read', { studyId, runId, ...from }))
    if (!answer) return
    loading.value = false
    problems.value = answer.ok ? [] : answer.problems
    if (!answer.ok) return
    steps.value = from.before === undefined ? answer.value.steps : [...steps.value, ...answer.value.steps]
    earlier.value = answer.value.before
  }
  const loadEarlier = () => load({ before: earlier.value ?? undefined, limit: few })
  const again = soon(() => load({ limit: Math.min(most, Math.max(few, steps.value.length)) }))

  watch([() => route.studyId, () => panel.runId], () => load({ limit: few }), { immediate: true })
  onBeforeUnmount(onChanged(() => void again()))

  return { steps, earlier, loading, problems, loadEarlier }
}
