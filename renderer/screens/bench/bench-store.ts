import { defineStore } from 'pinia'
import { computed, ref, shallowRef, watch } from 'vue'
import type { Args, Result } from '../../../shared/contract.ts'
import type { Problem } from '../../../shared/problem.ts'
import type { ThicknessUnit } from '../../../shared/units.ts'
import { callEngine, onChanged } from '../../client.ts'
import { soon } from '../../soon.ts'
import { useNotices } from '../../stores/notices.ts'
import { useRoute } from '../../stores/route.ts'
import { useRuns } from '../../stores/runs.ts'
import { useStudy } from '../../stores/study.ts'
import { keepDrafts, keepUnit, keptDrafts, keptUnit } from './kept-drafts.ts'
import { draftKey } from './spot.ts'

export type RunCard = Result<'bench.card'>
export type RunChange = Args<'bench.updateRun'>['change']
export type TypedReading = { site: number; repeat: number; text: string }

/** The run in hand at the bench: its card, what has been typed but not been taken, and what can be done with it. */
export const useBench = defineStore('bench', () => {
  const route = useRoute()
  const runs = useRuns()
  const study = useStudy()
  const notices = useNotices()
  const card = shallowRef<RunCard | null>(null)
  const problems = ref<Problem[]>([])
  /** Texts that are no readings yet, by run and site: they outlive another screen, a reload and a lost engine. */
  const drafts = ref(keptDrafts(localStorage))
  watch(
    () => ({ ...drafts.value }),
    (now, before) => keepDrafts(localStorage, now, before),
    { flush: 'sync' },
  )
  /** Texts sent off whose answer is not there yet, by run and site. */
  const underWay = new Map<string, string>()
  const chosenUnit = ref<ThicknessUnit | null>(null)
  watch(
    () => route.studyId,
    (studyId) => {
      chosenUnit.value = keptUnit(localStorage, studyId)
    },
    { immediate: true },
  )
  const unit = computed({
    get: () => chosenUnit.value ?? study.unit,
    set: (value: ThicknessUnit) => {
      chosenUnit.value = value
      keepUnit(localStorage, route.studyId, value)
    },
  })

  /** How often a site is read; kept for the study that is in hand. */
  const repeats = ref(1)
  watch(
    () => route.studyId,
    () => {
      repeats.value = 1
    },
  )

  const runId = computed(() => route.runId ?? runs.nextRun?.id ?? runs.runs.at(-1)?.id ?? null)
  /** Another run than the one that is drawn is on its way: what is typed meanwhile must not reach it. */
  const changing = computed(() => card.value !== null && card.value.run.id !== runId.value)

  async function readCard() {
    const id = runId.value
    if (id === null) {
      card.value = null
      return
    }
    const answer = await callEngine('bench.card', { runId: id })
    if (runId.value !== id) return
    card.value = answer.ok ? answer.value : null
    problems.value = answer.ok ? [] : answer.problems
  }
  watch(runId, readCard, { immediate: true })
  const load = soon(readCard)
  onChanged(() => void load())

  /** Shows a run and keeps to it, however the table of runs changes. */
  function show(id: string) {
    route.go('bench', { runId: id })
  }

  async function update(change: RunChange) {
    const id = card.value?.run.id
    if (id === undefined) return
    // A run that is done with is no longer the next one, and stays in hand all the same.
    if (route.runId === null) show(id)
    const answer = await callEngine('bench.updateRun', { runId: id, change })
    if (!answer.ok) notices.complain(answer.problems)
    await Promise.all([load(), runs.load()])
  }

  /**
   * Takes readings of a run as typed; drafts of sites that were taken go, those of refused ones stay. The run is named by
   * who typed them: a field that is left because the next run is drawn still belongs to the one before.
   */
  async function enter(id: string, given: TypedReading[]): Promise<Problem[]> {
    // Enter moves on, and leaving the field offers the same text again before the first answer is there.
    const typed = given.filter((one) => underWay.get(draftKey(id, one)) !== one.text)
    if (typed.length === 0) return []
    for (const one of typed) underWay.set(draftKey(id, one), one.text)
    try {
      return await send(id, typed)
    } finally {
      for (const one of typed) underWay.delete(draftKey(id, one))
    }
  }

  async function send(id: string, typed: TypedReading[]): Promise<Problem[]> {
    // From here on the entry belongs to this run, even if another one is shown before the answer comes.
    if (route.runId === null && runId.value === id) show(id)
    const answer = await callEngine('bench.enterReadings', { runId: id, unit: unit.value, readings: typed })
    if (!answer.ok) return answer.problems
    // The table of runs may come later: the reading is saved once its card shows it.
    void runs.load()
    await load()
    for (const one of typed) {
      const place = draftKey(id, one)
      if (drafts.value[place] === one.text) delete drafts.value[place]
    }
    return []
  }

  async function exclude(readingId: string, reason: string): Promise<Problem[]> {
    const answer = await callEngine('bench.excludeReading', { readingId, reason })
    await Promise.all([load(), runs.load()])
    return answer.ok ? [] : answer.problems
  }

  async function include(readingId: string) {
    const answer = await callEngine('bench.includeReading', { readingId })
    if (!answer.ok) notices.complain(answer.problems)
    await Promise.all([load(), runs.load()])
  }

  return {
    card,
    runId,
    problems,
    drafts,
    unit,
    repeats,
    changing,
    load,
    show,
    update,
    enter,
    exclude,
    include,
  }
})
