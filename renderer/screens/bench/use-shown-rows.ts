import { computed, ref } from 'vue'
import type { Sheet } from './use-sheet.ts'

/** Rows are as high as this, px, so that only those in view need to be drawn. */
export const rowHeight = 30

/** The rows of a sheet that are in view, with a few above and below, and the heights, px, of those that are not drawn. */
export function useShownRows(grid: Sheet) {
  const scrolled = ref(0)
  const firstRow = computed(() => Math.max(0, Math.floor(scrolled.value / rowHeight) - 5))
  const shown = computed(() =>
    grid.rows.value.slice(firstRow.value, firstRow.value + 40).map((head, i) => {
      const row = firstRow.value + i
      const odd = grid.oddities(row)
      return {
        head,
        letter: grid.letter(head),
        row,
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
  const aboveHeight = computed(() => firstRow.value * rowHeight)
  const belowHeight = computed(
    () => Math.max(0, grid.rows.value.length - firstRow.value - shown.value.length) * rowHeight,
  )
  return { scrolled, shown, aboveHeight, belowHeight }
}
