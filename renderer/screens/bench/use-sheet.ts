import { computed, ref } from 'vue'
import type { Reading } from '../../../shared/contract/things.ts'
import type { Problem } from '../../../shared/problem.ts'
import { callEngine } from '../../client.ts'
import { useRoute } from '../../stores/route.ts'
import { useRuns } from '../../stores/runs.ts'
import { askedIfEntered } from './asked-questions.ts'
import { type TypedReading, useBench } from './bench-store.ts'
import { textOf } from './entry-rows.ts'
import { type BlockCell, copiedBlock, pastedBlock } from './grid-block.ts'
import { type Cell, cellsOf, type Selection } from './grid-selection.ts'
import { draftKey, type Spot } from './spot.ts'

/** Where the reading of a cell belongs. */
export type Place = Spot & { runId: string; site: number }
export const placeKey = ({ runId, ...spot }: Place) => draftKey(runId, spot)

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
  /** A run with all that questions to its readings rest on. */
  runOf: (runId: string) => (Parameters<typeof askedIfEntered>[0] & { code: string }) | null
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

  /** Texts of cells by the run that they belong to. */
  function byRun(cells: readonly BlockCell[]) {
    const texts = new Map<string, TypedReading[]>()
    for (const cell of cells) {
      const place = source.placeAt(cell)
      if (!place) continue
      const { runId, site, repeat } = place
      texts.set(runId, [...(texts.get(runId) ?? []), { site, repeat, text: cell.text }])
    }
    return texts
  }

  /** What would be odd about the cells if they were entered: at each of them, and about whole runs. */
  function questionsTo(cells: readonly BlockCell[]) {
    const words = new Map<string, string>()
    const ofRuns: string[] = []
    for (const [runId, texts] of byRun(cells)) {
      const run = source.runOf(runId)
      if (!run) continue
      const { bySpot, ofRun } = askedIfEntered(run, texts, bench.unit)
      for (const [spot, asked] of bySpot) words.set(`${runId} ${spot}`, asked.words)
      ofRuns.push(...ofRun.map((asked) => `${run.code}: ${asked.words}`))
    }
    return { at: (cell: Cell) => words.get(keyAt(cell)) ?? '', ofRuns }
  }

  /** Enters the cells in one step of undo. What is refused stays as it was, with the reason. */
  async function enter(cells: readonly BlockCell[]): Promise<boolean> {
    const changed = cells.filter((cell) => cell.text !== textAt(cell))
    problems.value = cells.flatMap(({ problem }) =>
      problem ? [{ code: 'notANumber', message: problem }] : [],
    )
    if (problems.value.length > 0 || changed.length === 0 || route.studyId === null)
      return problems.value.length === 0
    for (const cell of changed) pending.value[keyAt(cell)] = cell.text
    const answer = await callEngine('bench.enterBlock', {
      studyId: route.studyId,
      unit: bench.unit,
      runs: [...byRun(changed)].map(([runId, entries]) => ({ runId, readings: entries })),
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
  const rows = computed(source.rows)
  const columns = computed(source.columns)
  const texts = () => rows.value.map((_, row) => columns.value.map((__, column) => textAt({ row, column })))

  /** The cells that a pasted text would fill from the selection on. */
  const pasted = (text: string, selection: Selection) =>
    pastedBlock(text, selection, {
      ...{ rows: rows.value.length, columns: columns.value.length, heads: rows.value, names: source.names },
      ...{ studyId: source.studyId(), unit: bench.unit },
    })
  /** The selection as text, its heads with the unit; `corner` stands between them. */
  const copied = (selection: Selection, corner: string) => {
    const heads = columns.value.map((head) => `${head} (${bench.unit})`)
    return copiedBlock({ corner, rows: rows.value, columns: heads, texts: texts() }, selection)
  }

  return {
    ...{ rows, columns, texts, pasted, copied },
    letter: source.letter ?? (() => ''),
    oddities: source.oddities,
    ...{ problems, keyAt, readingAt, textAt, isPending, questionsTo, enter, withdraw },
  }
}
export type Sheet = ReturnType<typeof useSheet>
