import { defineStore } from 'pinia'
import { computed, ref, shallowRef, watch } from 'vue'
import type { Args, Result } from '../../shared/contract.ts'
import type { Answer, Problem } from '../../shared/problem.ts'
import type { ThicknessUnit } from '../../shared/units.ts'
import { callEngine, onChanged } from '../client.ts'
import { useNotices } from './notices.ts'
import { useRoute } from './route.ts'
import { useSettings } from './settings.ts'

/** Beside the list of studies, it is read again once nothing has been written for so long, ms. */
const quiet = 1000

export type StudyChange = Args<'studies.update'>['change']

/** The list of studies and the study in hand, kept up to date with the database. */
export const useStudy = defineStore('study', () => {
  const route = useRoute()
  const notices = useNotices()
  const settings = useSettings()
  const list = shallowRef<Result<'studies.list'>>([])
  const listed = ref(false)
  const study = shallowRef<Result<'studies.get'> | null>(null)
  const problems = ref<Problem[]>([])

  const unit = computed<ThicknessUnit>(() => settings.unit ?? study.value?.thicknessUnit ?? 'nm')

  async function loadList() {
    const answer = await callEngine('studies.list', {})
    if (answer.ok) list.value = answer.value
    problems.value = answer.ok ? [] : answer.problems
    listed.value = true
  }

  async function load() {
    const studyId = route.studyId
    if (studyId === null) {
      study.value = null
      return
    }
    const answer = await callEngine('studies.get', { studyId })
    if (route.studyId !== studyId) return
    if (answer.ok) study.value = answer.value
    else {
      // One that was in hand is gone because its making was taken back, of which there is word already.
      if (study.value?.id !== studyId) notices.complain(answer.problems)
      study.value = null
      route.go('studies', { studyId: null })
    }
  }

  async function create(input: Args<'studies.create'>['study']): Promise<Answer<{ studyId: string }>> {
    return callEngine('studies.create', { study: input })
  }

  /** Changes the study in hand; what the page shows follows from the database. */
  async function update(change: StudyChange): Promise<Answer<unknown>> {
    if (study.value === null) return { ok: true, value: null }
    const answer = await callEngine('studies.update', { studyId: study.value.id, change })
    if (answer.ok) await load()
    return answer
  }

  watch(() => route.studyId, load, { immediate: true })
  void loadList()
  let later: ReturnType<typeof setTimeout> | undefined
  onChanged(() => {
    clearTimeout(later)
    if (route.screen === 'studies') void loadList()
    else later = setTimeout(loadList, quiet)
    void load()
  })

  return { list, listed, study, problems, unit, load, loadList, create, update }
})
