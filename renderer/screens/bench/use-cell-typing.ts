import { ref } from 'vue'
import { useBench } from './bench-store.ts'
import { filled } from './grid-block.ts'
import { at, type Cell } from './grid-selection.ts'
import type { Sheet } from './use-sheet.ts'

/** The text being typed in the cell in hand of a sheet. One that cannot be read is kept as a draft of its run. */
export function useCellTyping(sheet: Sheet, hand: () => Cell) {
  const bench = useBench()
  /** Null while none is. */
  const typing = ref<string | null>(null)
  /** Why the typed text cannot be taken. */
  const wrong = ref('')

  function stopTyping() {
    typing.value = null
    wrong.value = ''
  }

  /** Leaves what stood there before, and forgets the draft. */
  function giveUp() {
    delete bench.drafts[sheet.keyAt(hand())]
    stopTyping()
  }

  const read = (text: string, cell: Cell) => (text === '' ? [] : filled(text, at(cell), bench.unit))

  /** Sends the typed text off. What cannot be read stays in its cell, with the reason and the selection; false then. */
  function commit(): boolean {
    const text = typing.value?.trim() ?? ''
    const cells = read(text, hand())
    wrong.value = cells[0]?.problem ?? ''
    const key = sheet.keyAt(hand())
    if (wrong.value !== '') {
      bench.drafts[key] = text
      return false
    }
    delete bench.drafts[key]
    void sheet.enter(cells)
    stopTyping()
    return true
  }

  /** The first text that could not be read when a grid was left; null where there is none, or another is being typed. */
  function leftUnread(): { cell: Cell; text: string } | null {
    if (typing.value !== null || Object.keys(bench.drafts).length === 0) return null
    const cells = sheet.rows.value.flatMap((_, row) =>
      sheet.columns.value.map((__, column) => ({ row, column })),
    )
    for (const cell of cells) {
      const text = bench.drafts[sheet.keyAt(cell)]
      if (text !== undefined && read(text, cell)[0]?.problem) return { cell, text }
    }
    return null
  }

  return { typing, wrong, stopTyping, giveUp, commit, leftUnread }
}
