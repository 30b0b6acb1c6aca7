import { defineStore } from 'pinia'
import { computed, ref, shallowRef, watch } from 'vue'
import type { Result } from '../../../shared/contract.ts'
import { columnOf } from '../../../shared/model/expression.ts'
import { parseFormula } from '../../../shared/model/formula.ts'
import { takenModel } from '../../../shared/model/taken-model.ts'
import type { Answer, Problem } from '../../../shared/problem.ts'
import { callEngine, onChanged } from '../../client.ts'
import { useNotices } from '../../stores/notices.ts'
import { useRoute } from '../../stores/route.ts'
import type { Screen } from '../../stores/screens.ts'
import { useStudy } from '../../stores/study.ts'
import { hasGroups, type KnownVariance, ofKind, usualKind } from './fit-kind.ts'
import { words } from './words.ts'

type Fitted = Result<'fits.fit'>
type Suggestion = Result<'fits.models'>['suggestions'][number]

/** The measured column on the left of a formula; null while the formula cannot be read. */
function responseOf(model: string): string | null {
  const formula = parseFormula(model)
  return formula.ok && formula.value.response ? columnOf(formula.value.response) : null
}

/** The left side of a formula, whether or not the whole can be read. */
const leftOf = (model: string) => (model.split('~')[0] ?? '').trim()

/** The screens that show the fit. */
const readers: ReadonlySet<Screen> = new Set<Screen>(['curves', 'next', 'lots', 'report'])

/** Response, model and fit that Curves, Next and Lots look at, kept up to date with the data. */
export const useModel = defineStore('model', () => {
  const route = useRoute()
  const study = useStudy()
  const notices = useNotices()
  const response = ref('thickness')
  const responses = ref<string[]>([])
  const suggestions = ref<Suggestion[]>([])
  /** Null until something has been suggested or typed. */
  const model = ref<string | null>(null)
  /** Whether the model was taken for its AICc rather than chosen by a person. */
  const takenByAicc = ref(false)
  /** Groups whose variance the runs can tell. */
  const groupings = ref<Result<'fits.models'>['groupings']>([])
  /** How the model is fitted: `overDays`, `ordinary`, a robust kind, or the groups whose variance is estimated too. */
  const kind = ref<string>(usualKind)
  /** By group of `kind`, where something is stated. */
  const known = ref<Record<string, KnownVariance>>({})
  /** The groups whose variance is estimated too, or null. */
  const random = computed(() => (hasGroups(kind.value) ? kind.value : null))
  const level = ref(0.95)
  const fitted = shallowRef<Fitted | null>(null)
  const table = shallowRef<Result<'fits.table'> | null>(null)
  const problems = ref<Problem[]>([])
  const loaded = ref(false)
  /** Counts what was asked, so that an answer to an older question is not taken for the newest. */
  let asked = 0
  /** Whether the data have changed since the last fit. */
  let stale = false

  /** What every call about the fit names. */
  const question = computed(() =>
    route.studyId === null || model.value === null
      ? null
      : { studyId: route.studyId, response: response.value, model: model.value, level: level.value },
  )

  /** The same for the calls that can fit otherwise than by least squares. */
  const kindQuestion = computed(
    () => question.value && { ...question.value, ...ofKind(kind.value, known.value) },
  )

  async function load() {
    const studyId = route.studyId
    asked += 1
    const mine = asked
    if (studyId === null) return forget()
    const [models, data] = await Promise.all([
      callEngine('fits.models', { studyId, response: response.value }),
      callEngine('fits.table', { studyId }),
    ])
    if (mine !== asked) return
    table.value = data.ok ? data.value : null
    responses.value = models.ok ? models.value.responses : []
    suggestions.value = models.ok ? models.value.suggestions : []
    groupings.value = models.ok ? models.value.groupings : []
    if (hasGroups(kind.value) && !groupings.value.some(({ random }) => random === kind.value))
      kind.value = usualKind
    const first = responses.value[0]
    if (first !== undefined && !responses.value.includes(response.value)) {
      response.value = first
      model.value = null
      return load()
    }
    // A model that nobody chose follows the data, so that it is the same after a reload, and says when it changes.
    const before = model.value !== null && responseOf(model.value) === response.value ? model.value : null
    if (before !== null && !takenByAicc.value) return fit(mine)
    const own = study.study?.model ?? null
    const chosen = own !== null && responseOf(own) === response.value ? own : null
    const best = chosen === null ? await bestSuggestion(studyId) : null
    if (mine !== asked) return
    takenByAicc.value = best !== null
    model.value = chosen ?? best?.model ?? null
    if (before !== null && model.value !== null && model.value !== before)
      notices.say(words.chooser.anotherModel(model.value))
    if (best && kind.value === 'ordinary') take(best.answer)
    else await fit(mine)
  }

  /** The suggestion to take where nobody has chosen a model. */
  async function bestSuggestion(studyId: string): Promise<{ model: string; answer: Answer<Fitted> } | null> {
    const fits = await Promise.all(
      suggestions.value.map(async ({ model }) => ({
        model,
        answer: await callEngine('fits.fit', {
          studyId,
          response: response.value,
          model,
          level: level.value,
        }),
      })),
    )
    return fits[takenModel(fits.map(({ answer }) => (answer.ok ? answer.value.fit : null)))] ?? null
  }

  async function fit(mine: number) {
    if (kindQuestion.value === null) {
      fitted.value = null
      problems.value = []
      loaded.value = true
      return
    }
    const answer = await callEngine('fits.fit', kindQuestion.value)
    if (mine === asked) take(answer)
  }

  function take(answer: Answer<Fitted>) {
    fitted.value = answer.ok ? answer.value : null
    problems.value = answer.ok ? [] : answer.problems
    loaded.value = true
  }

  function forget() {
    model.value = null
    takenByAicc.value = false
    response.value = 'thickness'
    responses.value = []
    suggestions.value = []
    groupings.value = []
    kind.value = usualKind
    known.value = {}
    fitted.value = null
    table.value = null
    problems.value = []
    loaded.value = false
  }

  /** Fits again where a screen shows the fit; elsewhere, as while readings are typed, it waits until one does. */
  function refresh() {
    stale = !readers.has(route.screen)
    if (!stale) void load()
  }

  async function chooseModel(text: string) {
    // On another scale of the response a stated deviation would mean something else.
    if (leftOf(text) !== leftOf(model.value ?? '')) known.value = {}
    model.value = text.trim()
    takenByAicc.value = false
    asked += 1
    await fit(asked)
    if (fitted.value && route.studyId !== null)
      await callEngine('studies.setModel', { studyId: route.studyId, model: model.value })
  }

  async function chooseKind(name: string) {
    kind.value = name
    known.value = {}
    asked += 1
    await fit(asked)
  }

  /** States what is known of the variance between groups, or takes it back. */
  async function stateVariance(group: string, variance: KnownVariance | null) {
    const { [group]: _, ...others } = known.value
    known.value = variance === null ? others : { ...others, [group]: variance }
    asked += 1
    await fit(asked)
  }

  async function chooseResponse(name: string) {
    response.value = name
    known.value = {}
    model.value = null
    await load()
  }

  watch(
    () => study.study?.id ?? null,
    () => {
      forget()
      refresh()
    },
    { immediate: true },
  )
  onChanged(refresh)
  watch(
    () => route.screen,
    () => {
      if (!stale || !readers.has(route.screen)) return
      // What was fitted before is not shown as if it were of these data.
      loaded.value = false
      refresh()
    },
  )

  return {
    response,
    responses,
    suggestions,
    model,
    takenByAicc,
    level,
    fitted,
    table,
    problems,
    loaded,
    question,
    kindQuestion,
    groupings,
    kind,
    random,
    known,
    stateVariance,
    chooseKind,
    chooseModel,
    chooseResponse,
  }
})
