/** A cell of a grid, rows and columns counted from 0. */
export type Cell = { row: number; column: number }
/** Where the selection started, and where it has been drawn to: the cell in hand. */
export type Selection = { from: Cell; to: Cell }
export type Size = { rows: number; columns: number }

/** The selection as a block: its corners, both inside. */
export function blockOf({ from, to }: Selection) {
  return {
    top: Math.min(from.row, to.row),
    bottom: Math.max(from.row, to.row),
    left: Math.min(from.column, to.column),
    right: Math.max(from.column, to.column),
  }
}

/** Whether a cell is selected. */
export function isSelected(selection: Selection, { row, column }: Cell): boolean {
  const { top, bottom, left, right } = blockOf(selection)
  return row >= top && row <= bottom && column >= left && column <= right
}

/** Every selected cell, row by row. */
export function cellsOf(selection: Selection): Cell[] {
  const { top, bottom, left, right } = blockOf(selection)
  const rows = Array.from({ length: bottom - top + 1 }, (_, i) => top + i)
  const columns = Array.from({ length: right - left + 1 }, (_, i) => left + i)
  return rows.flatMap((row) => columns.map((column) => ({ row, column })))
}

const steps: Record<string, Cell> = {
  ArrowUp: { row: -1, column: 0 },
  ArrowDown: { row: 1, column: 0 },
  ArrowLeft: { row: 0, column: -1 },
  ArrowRight: { row: 0, column: 1 },
}

/**
 * The selection after a key, or null where the key moves nothing. Shift with an arrow draws the selection on, Shift
 * with Enter or Tab goes back; Control with an arrow goes to the edge. Tab goes on to the next row at the end of one and
 * Enter to the next column; both move nothing beyond the last cell, so that Tab leaves the grid there.
 */
export function moved(
  selection: Selection,
  key: { key: string; shiftKey?: boolean; ctrlKey?: boolean },
  size: Size,
): Selection | null {
  const { to } = selection
  if (key.key === 'Home') return at({ row: key.ctrlKey ? 0 : to.row, column: 0 })
  if (key.key === 'End') return at({ row: key.ctrlKey ? size.rows - 1 : to.row, column: size.columns - 1 })
  if (key.key === 'Tab' || key.key === 'Enter') {
    const byRow = key.key === 'Tab'
    const line = byRow ? size.columns : size.rows
    const place = (byRow ? to.row * line + to.column : to.column * line + to.row) + (key.shiftKey ? -1 : 1)
    if (place < 0 || place >= size.rows * size.columns) return null
    const [across, along] = [Math.floor(place / line), place % line]
    return at(byRow ? { row: across, column: along } : { row: along, column: across })
  }
  const step = steps[key.key]
  if (!step) return null
  const far = key.ctrlKey ? Math.max(size.rows, size.columns) : 1
  const next = {
    row: within(to.row + far * step.row, size.rows),
    column: within(to.column + far * step.column, size.columns),
  }
  return key.shiftKey ? { from: selection.from, to: next } : at(next)
}

/** A selection of one cell. */
export const at = (cell: Cell): Selection => ({ from: cell, to: cell })
const within = (place: number, count: number) => Math.max(0, Math.min(count - 1, place))
