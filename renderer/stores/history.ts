import { defineStore } from 'pinia'
import { computed, shallowRef, watch } from 'vue'
import type { Result } from '../../shared/contract.ts'
import { callEngine, onChanged } from '../client.ts'
import { words } from '../words.ts'
import { useNotices } from './notices.ts'
import { useRoute } from './route.ts'
import { nextToRedo, nextToUndo } from './steps.ts'

/** The steps taken in the study in hand, or those of no study, newest first, with undo and redo. */
export const useHistory = defineStore('history', () => {
  const route = useRoute()
  const notices = useNotices()
  const steps = shallowRef<Result<'history.list'>>([])

  async function load() {
    const studyId = route.studyId
    const answer = await callEngine('history.list', { studyId, limit: 200 })
    if (route.studyId === studyId) steps.value = answer.ok ? answer.value : []
  }

  watch(() => route.studyId, load, { immediate: true })
  onChanged(() => void load())

  const undoStep = computed(() => nextToUndo(steps.value))
  const redoStep = computed(() => nextToRedo(steps.value))

  async function move(call: 'history.undo' | 'history.redo', said: (label: string) => string) {
    const answer = await callEngine(call, { studyId: route.studyId })
    // Undone to before its making, a study is gone; made again, it is back in hand.
    if (answer.ok && answer.value.studyId !== route.studyId)
      route.go('studies', { studyId: answer.value.studyId })
    if (!answer.ok) notices.complain(answer.problems)
    else if (answer.value.label !== null) notices.say(said(answer.value.label))
    await load()
  }

  return {
    steps,
    undoStep,
    redoStep,
    undo: () => move('history.undo', words.history.undone),
    redo: () => move('history.redo', words.history.redone),
  }
})
