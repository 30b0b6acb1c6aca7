import type { Cell } from './grid-selection.ts'
import { rowHeight } from './use-shown-rows.ts'

/** Scrolls the box as little as shows a cell beside the heads of its row and column, which stay in place. */
export function scrollTo(box: HTMLElement, table: HTMLTableElement, cell: Cell): void {
  const top = cell.row * rowHeight
  const room = box.clientHeight - 3 * rowHeight
  if (top < box.scrollTop) box.scrollTop = top
  else if (top > box.scrollTop + room) box.scrollTop = top - room
  const [corner, head] = [0, cell.column + 1].map((k) => table.rows[0]?.cells[k])
  if (!corner || !head) return
  const left = head.offsetLeft - corner.offsetWidth
  const right = head.offsetLeft + head.offsetWidth
  if (left < box.scrollLeft) box.scrollLeft = left
  else if (right > box.scrollLeft + box.clientWidth) box.scrollLeft = right - box.clientWidth
}
