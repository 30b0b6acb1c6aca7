import { defineStore } from 'pinia'
import { ref, shallowRef, watch } from 'vue'
import type { Choice } from '../../../shared/contract/results/next.ts'
import type { Args, Result } from '../../../shared/contract.ts'
import type { Problem } from '../../../shared/problem.ts'
import { callEngine, onChanged } from '../../client.ts'
import { useNotices } from '../../stores/notices.ts'
import { useRoute } from '../../stores/route.ts'
import { useRuns } from '../../stores/runs.ts'
import { useNewest } from '../../use-newest.ts'
import { useModel } from '../curves/model-store.ts'
import { words } from './words.ts'

/** Whether a person has ended the call. */
const wasCancelled = (answer: { ok: true } | { ok: false; problems: Problem[] }) =>
  !answer.ok && answer.problems.some(({ code }) => code === 'cancelled')

export type Goal = { target: number; tolerance: number }

/** The recommended runs for the fit in hand, and the ledger of what was predicted before. */
export const useNext = defineStore('next', () => {
  const model = useModel()
  const route = useRoute()
  const runs = useRuns()
  const notices = useNotices()
  const found = shallowRef<Result<'next.recommend'> | null>(null)
  const recipe = shallowRef<Result<'next.recipe'> | null>(null)
  const recipeProblems = ref<Problem[]>([])
  /** The chance that a wafer of the recipe is to have, percent. */
  const askedPercent = ref<number | null>(90)
  const batch = shallowRef<Result<'next.batch'> | null>(null)
  const batchProblems = ref<Problem[]>([])
  const confirmations = shallowRef<Result<'next.confirmations'>>([])
  const ledger = shallowRef<Result<'next.ledger'> | null>(null)
  const problems = ref<Problem[]>([])
  const recommending = useNewest()
  /** While it waits, the recipe at hand is of an older question. */
  const recipeSearch = useNewest()
  const choosing = ref(false)
  /** What a person has ended and not begun again. */
  const cancelled = ref({ recommend: false, recipe: false, batch: false })
  const taking = ref(false)

  async function recommend(goal: Goal) {
    if (!model.question) return
    const answer = await recommending.newest(callEngine('next.recommend', { ...model.question, ...goal }))
    if (!answer) return
    cancelled.value.recommend = wasCancelled(answer)
    if (cancelled.value.recommend) return
    found.value = answer.ok ? answer.value : null
    problems.value = answer.ok ? answer.value.problems : answer.problems
  }

  /** Looks for the recipe that has the asked chance to be in tolerance. */
  async function findRecipe(goal: Goal & { asked: number }) {
    if (!model.question) return
    const answer = await recipeSearch.newest(callEngine('next.recipe', { ...model.question, ...goal }))
    if (!answer) return
    cancelled.value.recipe = wasCancelled(answer)
    if (cancelled.value.recipe) return
    recipe.value = answer.ok ? answer.value : null
    recipeProblems.value = answer.ok ? answer.value.problems : answer.problems
  }

  async function loadLedger() {
    const studyId = route.studyId
    if (studyId === null) return
    const [kept, confirmed] = await Promise.all([
      callEngine('next.ledger', { studyId }),
      callEngine('next.confirmations', { studyId }),
    ])
    if (route.studyId !== studyId) return
    ledger.value = kept.ok ? kept.value : null
    confirmations.value = confirmed.ok ? confirmed.value : []
  }
  watch(
    () => route.studyId,
    () => {
      found.value = null
      recipe.value = null
      cancelled.value = { recommend: false, recipe: false, batch: false }
      void recommending.newest(null)
      void recipeSearch.newest(null)
      recipeProblems.value = []
      batch.value = null
      batchProblems.value = []
      problems.value = []
      ledger.value = null
      confirmations.value = []
      void loadLedger()
    },
    { immediate: true },
  )
  onChanged(() => void loadLedger())

  /** Looks for runs to be made together. */
  async function findBatch(goal: Goal & Pick<Args<'next.batch'>, 'aim' | 'count' | 'minutesLeft'>) {
    if (!model.question) return
    choosing.value = true
    const answer = await callEngine('next.batch', { ...model.question, ...goal })
    choosing.value = false
    cancelled.value.batch = wasCancelled(answer)
    if (cancelled.value.batch) return
    batch.value = answer.ok ? answer.value : null
    batchProblems.value = answer.ok ? answer.value.problems : answer.problems
  }

  /** Adds the choices to the plan, writes their predictions down, and goes to the first run card. */
  async function take({ choices, dataHash }: { choices: Choice[]; dataHash: string }) {
    if (!model.question) return
    taking.value = true
    const answer = await callEngine('next.take', {
      ...model.question,
      choices,
      dataHash,
    })
    taking.value = false
    if (!answer.ok) return notices.complain(answer.problems)
    await Promise.all([runs.load(), loadLedger()])
    batch.value = null
    const [first = ''] = answer.value.runIds
    const run = runs.runs.find((each) => each.id === first)
    const said = choices.length > 1 ? words.taken.runs(choices.length) : words.taken.run(run?.code ?? '')
    notices.say(said, { undo: true })
    route.go('bench', { runId: first })
  }

  /** Adds the wafers that are to confirm the recipe to the plan, and writes down what they are held to. */
  async function planConfirmation(goal: Goal & { days: number; wafersADay: number }) {
    if (!model.question || !recipe.value) return
    taking.value = true
    const answer = await callEngine('next.planConfirmation', {
      ...model.question,
      ...goal,
      settings: recipe.value.recipe.settings,
      dataHash: recipe.value.dataHash,
    })
    taking.value = false
    if (!answer.ok) return notices.complain(answer.problems)
    await Promise.all([runs.load(), loadLedger()])
    notices.say(words.plan.added, { undo: true })
  }

  return {
    found,
    recipe,
    recipeProblems,
    askedPercent,
    batch,
    batchProblems,
    confirmations,
    ledger,
    problems,
    cancelled,
    searching: recommending.waiting,
    findingRecipe: recipeSearch.waiting,
    choosing,
    taking,
    recommend,
    findRecipe,
    findBatch,
    take,
    planConfirmation,
  }
})
