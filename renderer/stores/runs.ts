import { defineStore } from 'pinia'
import { computed, ref, shallowRef, watch } from 'vue'
import type { Result } from '../../shared/contract.ts'
import { callEngine, onChanged } from '../client.ts'
import { soon } from '../soon.ts'
import { useRoute } from './route.ts'

export type RunRow = Result<'bench.runs'>[number]

/** The runs of the study in hand with what their readings say, in run order. */
export const useRuns = defineStore('runs', () => {
  const route = useRoute()
  const runs = shallowRef<RunRow[]>([])
  const loaded = ref(false)

  async function readRuns() {
    const studyId = route.studyId
    if (studyId === null) {
      runs.value = []
      return
    }
    const answer = await callEngine('bench.runs', { studyId })
    if (route.studyId !== studyId) return
    runs.value = answer.ok ? answer.value : []
    loaded.value = true
  }

  watch(
    () => route.studyId,
    () => {
      loaded.value = false
      void readRuns()
    },
    { immediate: true },
  )
  const load = soon(readRuns)
  onChanged(() => void load())

  const kept = computed(() => runs.value.filter((run) => run.state !== 'dropped'))
  const measured = computed(() => kept.value.filter((run) => run.state === 'measured'))
  /** The first run that is still to be coated or read. */
  const nextRun = computed(
    () => kept.value.find((run) => run.state === 'planned' || run.state === 'coated') ?? null,
  )

  return { runs, loaded, kept, measured, nextRun, load }
})
