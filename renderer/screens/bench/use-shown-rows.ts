import { computed, ref } from 'vue'
import type { Sheet } from './use-sheet.ts'

/** Rows are as high as this, px, so that only those in view need to be drawn. */
export const rowHeight = 30

/** How many rows are drawn at once: what a tall window shows, and some above and below. */
const drawn = 40

/**
 * The rows of a sheet that are in view, with a few above and below, and the one in hand wherever it lies, so that the
 * cursor is not lost while others are looked at. `gap` is the height, px, of the rows before it that are not drawn.
 */
export function useShownRows(grid: Sheet, hand: () => number) {
  const scrolled = ref(0)
  const firstRow = computed(() =>
    Math.max(0, Math.min(grid.rows.value.length - drawn, Math.floor(scrolled.value / rowHeight) - 5)),
  )
  const lastRow = computed(() => Math.min(grid.rows.value.length, firstRow.value + drawn))
  /** The row in hand where it is out of view; a number of its own, so that a step within the view draws nothing anew. */
  const outside = computed(() =>
    hand() < firstRow.value || (hand() >= lastRow.value && hand() < grid.rows.value.length) ? hand() : null,
  )
  const numbers = computed(() => {
    const inView = Array.from({ length: lastRow.value - firstRow.value }, (_, i) => firstRow.value + i)
    if (outside.value === null) return inView
    return outside.value < firstRow.value ? [outside.value, ...inView] : [...inView, outside.value]
  })
  const shown = computed(() =>
    numbers.value.map((row, i) => {
      const odd = grid.oddities(row)
      const head = grid.rows.value[row] ?? ''
      return {
        head,
        letter: grid.letter(head),
        row,
        gap: (row - (numbers.value[i - 1] ?? -1) - 1) * rowHeight,
        words: odd.ofRow,
        cells: grid.columns.value.map((_, column) => ({
          row,
          column,
          odd: odd.at({ row, column }),
          out: grid.readingAt({ row, column })?.excluded ?? null,
        })),
      }
    }),
  )
  const belowHeight = computed(
    () => Math.max(0, grid.rows.value.length - 1 - (numbers.value.at(-1) ?? -1)) * rowHeight,
  )
  return { scrolled, shown, belowHeight }
}
