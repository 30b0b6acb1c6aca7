import { defineStore } from 'pinia'
import { computed, ref, shallowRef, watch } from 'vue'
import type { Plan } from '../../../shared/contract/results/plan.ts'
import type { Problem } from '../../../shared/problem.ts'
import { callEngine } from '../../client.ts'
import { useNotices } from '../../stores/notices.ts'
import { useRuns } from '../../stores/runs.ts'
import { useStudy } from '../../stores/study.ts'
import { withoutUnseen } from './design-fields.ts'
import { draftOf, newDesign, type PlanDraft, stageStates } from './draft.ts'
import { words } from './words.ts'

/** Typing goes on while the plan is counted; it is counted this long after the last key, ms. */
const pause = 250

/** A seed that a person can read out: four digits. */
const freshSeed = () => 1 + Math.floor(Math.random() * 9999)

/** The plan that is being made for the study in hand. It outlives a change of screen, and a reload. */
export const usePlanDraft = defineStore('planDraft', () => {
  const store = useStudy()
  const runs = useRuns()
  const notices = useNotices()
  const draft = ref<PlanDraft>({ factors: [], design: newDesign(1) })
  const plan = shallowRef<Plan | null>(null)
  const problems = ref<Problem[]>([])
  const counting = ref(false)
  const saving = ref(false)
  /** The stage in whose place the plan is saved; null for a new stage. */
  const replaces = ref<string | null>(null)

  /** Whether a draft is being made where something is planned already. */
  const drafting = ref(false)

  const stages = computed(() => stageStates(store.study?.stages ?? [], runs.runs))
  /** Whether the study has runs that are planned, made or read. */
  const saved = computed(() => stages.value.some((each) => each.runs > 0))
  const replaceable = computed(() =>
    stages.value.filter((each) => each.untouched && each.stage.kind === 'grid'),
  )

  const key = (id: string) => `evenfilm.plan.${id}`
  function read(id: string): PlanDraft | null {
    try {
      return JSON.parse(sessionStorage.getItem(key(id)) ?? 'null') as PlanDraft | null
    } catch {
      return null
    }
  }

  /** What the plan of the study started from, as text: the draft is edited once it differs. */
  let start = ''
  let startId = ''
  const edited = () => JSON.stringify(draft.value) !== start

  watch(
    () => store.study,
    (study) => {
      if (study === null) return
      const another = study.id !== startId
      if (another) {
        plan.value = null
        problems.value = []
      } else if (edited()) return
      const fresh = draftOf(study, another ? freshSeed() : draft.value.design.seed)
      start = JSON.stringify(fresh)
      startId = study.id
      draft.value = (another ? read(study.id) : null) ?? fresh
      if (another) drafting.value = edited()
    },
    { immediate: true },
  )
  watch(
    replaceable,
    (now) => {
      if (!now.some((each) => each.stage.id === replaces.value)) replaces.value = now.at(-1)?.stage.id ?? null
    },
    { immediate: true },
  )

  let timer: ReturnType<typeof setTimeout> | undefined
  let latest = 0
  /** Counted anew on every change of the plan, and of the study, whose figures the budget takes. */
  watch(
    [draft, () => store.study],
    () => {
      const id = store.study?.id
      if (!id) return
      if (edited()) sessionStorage.setItem(key(id), JSON.stringify(draft.value))
      else sessionStorage.removeItem(key(id))
      clearTimeout(timer)
      // What is shown is old from the first key on.
      counting.value = draft.value.factors.length > 0
      timer = setTimeout(count, pause)
    },
    { deep: true, immediate: true },
  )

  const sent = () => ({
    factors: draft.value.factors,
    design: withoutUnseen(draft.value.design, draft.value.factors),
  })

  async function count() {
    const studyId = store.study?.id
    if (!studyId) return
    latest += 1
    const turn = latest
    if (draft.value.factors.length === 0) {
      plan.value = null
      problems.value = []
      counting.value = false
      return
    }
    counting.value = true
    const answer = await callEngine('plans.preview', { studyId, ...sent() })
    if (turn !== latest) return
    counting.value = false
    problems.value = answer.ok ? [] : answer.problems
    if (answer.ok) plan.value = answer.value
  }

  async function save() {
    const studyId = store.study?.id
    if (!studyId) return
    saving.value = true
    const answer = await callEngine('plans.save', {
      studyId,
      ...sent(),
      ...(replaces.value === null ? {} : { replaces: replaces.value }),
    })
    saving.value = false
    if (!answer.ok) {
      problems.value = answer.problems
      return
    }
    sessionStorage.removeItem(key(studyId))
    start = JSON.stringify(draft.value)
    drafting.value = false
    notices.say(words.save.saved(answer.value.runs), { undo: true })
    await Promise.all([store.load(), runs.load()])
  }

  /** Another order of the same runs. */
  function reshuffle() {
    draft.value.design.seed = freshSeed()
  }

  return {
    draft,
    plan,
    problems,
    counting,
    saving,
    drafting,
    saved,
    replaces,
    stages,
    replaceable,
    save,
    reshuffle,
  }
})
