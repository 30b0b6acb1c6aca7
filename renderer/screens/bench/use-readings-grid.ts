import { computed, onScopeDispose, ref, shallowRef, watch } from 'vue'
import type { Result } from '../../../shared/contract.ts'
import type { Problem } from '../../../shared/problem.ts'
import { callEngine, onChanged } from '../../client.ts'
import { soon } from '../../soon.ts'
import { useRoute } from '../../stores/route.ts'
import { useRuns } from '../../stores/runs.ts'
import { askedQuestions } from './asked-questions.ts'
import { useBench } from './bench-store.ts'
import { textOf } from './entry-rows.ts'
import type { BlockCell } from './grid-block.ts'
import { type Cell, cellsOf, type Selection } from './grid-selection.ts'

type Grid = Result<'bench.readings'>

/** Readings of all runs by site, and what can be done with a block of them. */
export function useReadingsGrid() {
  const route = useRoute()
  const runs = useRuns()
  const bench = useBench()
  const grid = shallowRef<Grid | null>(null)
  const problems = ref<Problem[]>([])
  /** Texts on their way to the engine, by run and site: shown, and marked as not saved. */
  const pending = ref<Record<string, string>>({})

  async function readGrid() {
    const studyId = route.studyId
    if (studyId === null) return
    const answer = await callEngine('bench.readings', { studyId })
    if (answer.ok && route.studyId === studyId) grid.value = answer.value
  }
  watch(() => route.studyId, readGrid, { immediate: true })
  const load = soon(readGrid)
  onScopeDispose(onChanged(() => void load()))

  const studyId = computed(() => grid.value?.study.id ?? '')
  const rows = computed(() => grid.value?.runs ?? [])
  const sites = computed(() => grid.value?.sites ?? [])
  const bySite = computed(() =>
    rows.value.map(({ readings }) => new Map(readings.map((reading) => [reading.site, reading]))),
  )
  const readingAt = ({ row, column }: Cell) => bySite.value[row]?.get(sites.value[column]?.site ?? 0) ?? null
  const placeOf = ({ row, column }: Cell) => `${rows.value[row]?.id} ${sites.value[column]?.site}`
  const textAt = (cell: Cell) => {
    const reading = readingAt(cell)
    return pending.value[placeOf(cell)] ?? (reading ? textOf(reading, bench.unit) : '')
  }
  /** What is odd about the readings of a row, by site. */
  function oddities(row: number) {
    const study = grid.value?.study
    const run = rows.value[row]
    if (!study || !run) return { bySite: new Map(), ofRun: [] }
    return askedQuestions({ study, ...run })
  }

  /** Enters the cells in one step of undo. What is refused stays as it was, with the reason. */
  async function enter(cells: readonly BlockCell[]): Promise<boolean> {
    const changed = cells.filter((cell) => cell.text !== textAt(cell))
    problems.value = cells.flatMap(({ problem, text }) =>
      problem ? [{ code: 'notANumber', message: `‘${text}’: ${problem}` }] : [],
    )
    if (problems.value.length > 0 || changed.length === 0 || route.studyId === null)
      return problems.value.length === 0
    const byRun = new Map<string, { site: number; text: string }[]>()
    for (const { text, ...cell } of changed) {
      const runId = rows.value[cell.row]?.id as string
      byRun.set(runId, [
        ...(byRun.get(runId) ?? []),
        { site: sites.value[cell.column]?.site as number, text },
      ])
      pending.value[placeOf(cell)] = text
    }
    const answer = await callEngine('bench.enterBlock', {
      studyId: route.studyId,
      unit: bench.unit,
      runs: [...byRun].map(([runId, readings]) => ({ runId, readings })),
    })
    problems.value = answer.ok ? [] : answer.problems
    await Promise.all([load(), runs.load()])
    for (const cell of changed) delete pending.value[placeOf(cell)]
    return answer.ok
  }

  /** Takes the readings of the selection back; undo brings them again. */
  async function withdraw(selection: Selection) {
    const readingIds = cellsOf(selection).flatMap((cell) => readingAt(cell)?.id ?? [])
    if (readingIds.length === 0 || route.studyId === null) return
    const answer = await callEngine('bench.withdrawReadings', { studyId: route.studyId, readingIds })
    problems.value = answer.ok ? [] : answer.problems
    await Promise.all([load(), runs.load()])
  }

  const isPending = (cell: Cell) => placeOf(cell) in pending.value
  return { studyId, rows, sites, problems, readingAt, textAt, isPending, oddities, enter, withdraw }
}
