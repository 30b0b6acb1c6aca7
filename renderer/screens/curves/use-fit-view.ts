import { computed } from 'vue'
import { shownResponse } from '../../../shared/charts/format.ts'
import type { Tolerance } from '../../../shared/charts/guides.ts'
import { scaleOf, shownFit } from '../../../shared/model/fit-words.ts'
import { type TermOfFit, termWords } from '../../../shared/model/term-words.ts'
import { useStudy } from '../../stores/study.ts'
import { useModel } from './model-store.ts'

/** A run of the table with its settings and its response, in the kept unit. */
export type TableRun = {
  runId: string
  code: string
  values: Record<string, number | string | null>
  response: number
  excluded: string | null
}

/** What every view of the fit needs: how the response is shown, its target, the runs but for monitor runs. */
export function useFitView() {
  const model = useModel()
  const study = useStudy()
  const shown = computed(() =>
    shownResponse(
      model.response,
      study.unit,
      model.table?.columns.find((column) => column.name === model.response)?.unit ?? '',
    ),
  )
  const tolerance = computed<Tolerance | null>(() =>
    model.response !== 'thickness' || study.study?.targetNm == null
      ? null
      : { target: study.study.targetNm, tolerance: study.study.toleranceNm },
  )
  const runs = computed<TableRun[]>(() =>
    (model.table?.rows ?? []).flatMap((row) => {
      const response = row.values[model.response]
      return typeof response === 'number' && !row.monitor ? [{ ...row, response }] : []
    }),
  )
  const codes = computed(() => {
    const byId = new Map((model.table?.rows ?? []).map((row) => [row.runId, row.code]))
    return (model.fitted?.runIds ?? []).map((id) => byId.get(id) ?? '?')
  })
  const scale = computed(() => (model.model === null ? null : scaleOf(model.model)))
  const view = computed(() => shownFit(scale.value, shown.value))
  /** Numeric columns that the formula can be drawn against. */
  const numericFactors = computed(() => {
    const formula = model.model ?? ''
    const left = formula.split('~')[1] ?? ''
    return (model.table?.columns ?? []).filter(
      (column) => !column.categorical && column.name !== model.response && mentions(left, column.name),
    )
  })
  /** What a term of the fit says, in the units of the columns. */
  const wordsOfTerm = (term: TermOfFit) =>
    termWords(term, {
      scale: scale.value,
      all: model.fitted?.fit.terms ?? [],
      level: model.level,
      unitOf: (name) => model.table?.columns.find((column) => column.name === name)?.unit ?? '',
      response: shown.value,
    })
  return { model, study, shown, tolerance, runs, codes, scale, view, numericFactors, wordsOfTerm }
}

function mentions(formula: string, name: string): boolean {
  return formula.split(/[^\p{L}\p{N}_]+/u).includes(name) || formula.includes(`"${name}"`)
}
