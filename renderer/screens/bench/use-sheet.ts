import { computed, ref } from 'vue'
import type { Reading } from '../../../shared/contract/things.ts'
import type { Problem } from '../../../shared/problem.ts'
import { callEngine } from '../../client.ts'
import { useRoute } from '../../stores/route.ts'
import { useRuns } from '../../stores/runs.ts'
import { useBench } from './bench-store.ts'
import { textOf } from './entry-rows.ts'
import type { BlockCell } from './grid-block.ts'
import { type Cell, cellsOf, type Selection } from './grid-selection.ts'
import { type Spot, spotKey } from './spot.ts'

/** Where the reading of a cell belongs. */
export type Place = Spot & { runId: string; site: number }
export const placeKey = ({ runId, ...spot }: Place) => `${runId} ${spotKey(spot)}`

/** What a sheet of readings is laid out from. */
export type SheetSource = {
  /** Heads of the rows and columns, and what both are called in the plural. */
  rows: () => readonly string[]
  columns: () => readonly string[]
  names: { rows: string; columns: string }
  studyId: () => string
  /** Check letter behind the head of a row, where it is a run. */
  letter?: (head: string) => string
  placeAt: (cell: Cell) => Place | null
  /** Readings in force, by {@link placeKey}. */
  readings: () => ReadonlyMap<string, Reading>
  /** What is odd about a row as a whole, and about each of its cells. */
  oddities: (row: number) => { ofRow: string; at: (cell: Cell) => string }
  load: () => Promise<unknown>
}

/** Readings in rows and columns, and what can be done with a block of them. */
export function useSheet(source: SheetSource) {
  const route = useRoute()
  const runs = useRuns()
  const bench = useBench()
  const problems = ref<Problem[]>([])
  /** Texts on their way to the engine, by place: shown, and marked as not saved. */
  const pending = ref<Record<string, string>>({})
  const readings = computed(source.readings)

  const keyAt = (cell: Cell) => {
    const place = source.placeAt(cell)
    return place ? placeKey(place) : ''
  }
  const readingAt = (cell: Cell) => readings.value.get(keyAt(cell)) ?? null
  const textAt = (cell: Cell) => {
    const reading = readingAt(cell)
    return pending.value[keyAt(cell)] ?? (reading ? textOf(reading, bench.unit) : '')
  }
  const again = () => Promise.all([source.load(), runs.load()])

  /** Enters the cells in one step of undo. What is refused stays as it was, with the reason. */
  async function enter(cells: readonly BlockCell[]): Promise<boolean> {
    const changed = cells.filter((cell) => cell.text !== textAt(cell))
    problems.value = cells.flatMap(({ problem, text }) =>
      problem ? [{ code: 'notANumber', message: `‘${text}’: ${problem}` }] : [],
    )
    if (problems.value.length > 0 || changed.length === 0 || route.studyId === null)
      return problems.value.length === 0
    const byRun = new Map<string, { site: number; repeat: number; text: string }[]>()
    for (const cell of changed) {
      const place = source.placeAt(cell)
      if (!place) continue
      const { runId, site, repeat } = place
      byRun.set(runId, [...(byRun.get(runId) ?? []), { site, repeat, text: cell.text }])
      pending.value[placeKey(place)] = cell.text
    }
    const answer = await callEngine('bench.enterBlock', {
      studyId: route.studyId,
      unit: bench.unit,
      runs: [...byRun].map(([runId, entries]) => ({ runId, readings: entries })),
    })
    problems.value = answer.ok ? [] : answer.problems
    await again()
    for (const cell of changed) delete pending.value[keyAt(cell)]
    return answer.ok
  }

  /** Takes the readings of the selection back; undo brings them again. */
  async function withdraw(selection: Selection) {
    const readingIds = cellsOf(selection).flatMap((cell) => readingAt(cell)?.id ?? [])
    if (readingIds.length === 0 || route.studyId === null) return
    const answer = await callEngine('bench.withdrawReadings', { studyId: route.studyId, readingIds })
    problems.value = answer.ok ? [] : answer.problems
    await again()
  }

  const isPending = (cell: Cell) => keyAt(cell) in pending.value
  return {
    rows: computed(source.rows),
    columns: computed(source.columns),
    names: source.names,
    studyId: source.studyId,
    letter: source.letter ?? (() => ''),
    oddities: source.oddities,
    ...{ problems, readingAt, textAt, isPending, enter, withdraw },
  }
}
export type Sheet = ReturnType<typeof useSheet>
