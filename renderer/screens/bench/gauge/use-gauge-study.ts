import { computed, onScopeDispose, ref, shallowRef, watch } from 'vue'
import type { Result } from '../../../../shared/contract.ts'
import { nextScan } from '../../../../shared/gauge/gauge-steps.ts'
import { oddReadings, oddReadingWords } from '../../../../shared/gauge/odd-readings.ts'
import type { Problem } from '../../../../shared/problem.ts'
import { callEngine, onChanged } from '../../../client.ts'
import { useBench } from '../bench-store.ts'
import { textOf } from '../entry-rows.ts'
import type { Cell } from '../grid-selection.ts'
import { useLength } from './use-length.ts'

/** One gauge study with its table of readings: a loading a row in the order of the work, a scan a column. */
export function useGaugeStudy(ids: { studyId: string; gaugeStudyId: () => string }) {
  const bench = useBench()
  const { length } = useLength()
  const held = shallowRef<Result<'gauges.study'> | null>(null)
  const problems = ref<Problem[]>([])
  /** Texts on their way to the engine, and a single one that it refused, which stays to be put right. */
  const pending = ref<Record<string, string>>({})
  const refused = ref('')

  async function load() {
    const asked = ids.gaugeStudyId()
    const answer = await callEngine('gauges.study', { gaugeStudyId: asked })
    if (ids.gaugeStudyId() !== asked) return
    held.value = answer.ok ? answer.value : null
    if (!answer.ok) problems.value = answer.problems
  }
  watch(ids.gaugeStudyId, load, { immediate: true })
  onScopeDispose(onChanged(() => void load()))

  const order = computed(() => held.value?.order ?? [])
  const key = ({ row, column }: Cell) => {
    const loading = order.value[row]
    return loading ? `${loading.wafer} ${loading.operator} ${loading.reload} ${column + 1}` : ''
  }
  const byPlace = computed(
    () =>
      new Map(
        held.value?.readings.map((reading) => [
          `${reading.wafer} ${reading.operator} ${reading.reload} ${reading.scan}`,
          reading,
        ]),
      ),
  )
  /** What is asked about readings that look mistyped, by place. */
  const questions = computed(() => {
    const readings = held.value?.readings.map((one) => ({ ...one, wafer: String(one.wafer) })) ?? []
    return new Map(
      oddReadings(readings).map((odd) => {
        const { wafer, operator, reload, scan, value } = readings[odd.index] as (typeof readings)[number]
        return [
          `${wafer} ${operator} ${reload} ${scan}`,
          `${length(value, value / 1000)} ${oddReadingWords(odd, length)}`,
        ]
      }),
    )
  })
  const questionAt = (cell: Cell) => questions.value.get(key(cell)) ?? ''
  const textAt = (cell: Cell) => {
    const reading = byPlace.value.get(key(cell))
    return pending.value[key(cell)] ?? (reading ? textOf(reading, bench.unit) : '')
  }
  const next = computed(() =>
    held.value
      ? nextScan(order.value, held.value.study.scans, (row, scan) =>
          byPlace.value.has(key({ row, column: scan - 1 })),
        )
      : null,
  )

  /** Enters texts, an empty one to take the reading there back; whether all were taken. */
  async function enter(cells: readonly (Cell & { text: string })[]): Promise<boolean> {
    const changed = cells.filter((cell) => cell.text.trim() !== textAt(cell))
    problems.value = []
    if (changed.length === 0) return true
    delete pending.value[refused.value]
    for (const cell of changed) pending.value[key(cell)] = cell.text
    const answer = await callEngine('gauges.enterReadings', {
      studyId: ids.studyId,
      gaugeStudyId: ids.gaugeStudyId(),
      unit: bench.unit,
      readings: changed.flatMap(({ row, column, text }) => {
        const loading = order.value[row]
        return loading ? [{ ...loading, scan: column + 1, text }] : []
      }),
    })
    problems.value = answer.ok ? [] : answer.problems
    await load()
    const [only] = changed
    refused.value = !answer.ok && changed.length === 1 && only ? key(only) : ''
    for (const cell of changed) if (key(cell) !== refused.value) delete pending.value[key(cell)]
    return answer.ok
  }

  const isRefused = (cell: Cell) => refused.value !== '' && key(cell) === refused.value

  return { held, order, problems, next, textAt, questionAt, isRefused, enter }
}
