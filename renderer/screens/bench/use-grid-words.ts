import { computed, type Ref } from 'vue'
import { useBench } from './bench-store.ts'
import { cellsOf, type Selection } from './grid-selection.ts'
import type { Sheet } from './use-sheet.ts'
import type { useShownRows } from './use-shown-rows.ts'
import { words } from './words/grid.ts'

/** What a grid says of the cell in hand: the line above it, and what a screen reader says of the cell itself. */
export function useGridWords(options: {
  grid: Sheet
  selection: Ref<Selection>
  shown: ReturnType<typeof useShownRows>['shown']
  wrong: Ref<string>
  ended: Ref<boolean>
}) {
  const { grid, selection, shown, wrong, ended } = options
  const bench = useBench()

  const said = computed(() => {
    if (wrong.value !== '') return words.sheetGrid.stays(wrong.value)
    if (ended.value) return words.sheetGrid.end
    const { row, column } = selection.value.to
    const run = shown.value.find((one) => one.row === row)
    const cell = run?.cells[column]
    return [
      words.sheetGrid.selected(cellsOf(selection.value).length),
      cell?.out ? words.sheetGrid.leftOut(cell.out) : cell?.odd,
      run?.words,
    ]
      .filter(Boolean)
      .join(' ')
  })
  /** A grid of bare numbers does not say their unit. */
  const handWords = computed(() => {
    const cell = selection.value.to
    const [row, column] = [grid.rows.value[cell.row] ?? '', grid.columns.value[cell.column] ?? '']
    const out = grid.readingAt(cell)?.excluded ?? null
    return words.sheetGrid.hand({ row, column, text: grid.textAt(cell), unit: bench.unit, out })
  })
  return { said, handWords }
}
