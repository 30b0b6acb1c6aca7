/** What the grids of readings say. */
export const words = {
  heads: {
    site: (site: number) => `site ${site}`,
    repeat: (repeat: number) => `repeat ${repeat}`,
    runs: 'runs',
    sites: 'sites',
    repeats: 'repeats',
  },
  pasted: {
    wrongLetter: (question: string) => `${question} Nothing was taken.`,
    nothing: 'There is nothing in what was pasted.',
    tooLarge: (block: { rows: number; columns: number }, room: { rows: string; columns: string }) =>
      `The block has ${block.rows} rows and ${block.columns} columns; from here on there are ${room.rows} and ${room.columns}. Nothing was taken.`,
  },
  sheetGrid: {
    keys: 'Typing replaces, F2 edits, Enter goes down and on to the next column, Tab right, Escape leaves the old number, Delete takes readings back, Ctrl D fills down. Blocks are copied and pasted as in a spreadsheet.',
    stays: (wrong: string) => `${wrong} It stays in its cell: correct it, or press Escape.`,
    end: 'This is the end of the grid: choose a cell before you type on, or F2 to edit this one.',
    label: (label: string, unit: string) => `${label}, in ${unit}`,
    hand: (cell: { row: string; column: string; text: string; unit: string; out: string | null }) =>
      `${cell.row}, ${cell.column}: ${cell.text === '' ? 'no reading' : `${cell.text} ${cell.unit}`}${cell.out === null ? '' : `, left out: ${cell.out}`}`,
    selected: (count: number) => (count > 1 ? `${count} cells selected.` : ''),
    leftOut: (out: string) => `Left out: ${out}`,
  },
  readingsGrid: {
    corner: 'Run',
    repeatShown: 'Repeat shown',
    label: 'Readings of all runs',
  },
  repeatsGrid: {
    corner: 'Site',
    label: (code: string) => `Readings of ${code}`,
    leaveOut: (repeat: number, site: number | null) => `Leave out repeat ${repeat} at site ${site}…`,
    takeIn: (repeat: number, site: number | null) => `Take repeat ${repeat} at site ${site} in again`,
  },
  gridPreview: {
    title: 'Take these readings?',
    intro: (cells: number, unit: string) =>
      `${cells} readings, one step of undo. Bare numbers are in ${unit}.`,
    unread: (bad: number, cells: number) =>
      `${bad} of ${cells} cannot be read. Nothing is taken until all can.`,
    odd: (odd: number, cells: number) =>
      `${odd} of ${cells} ${odd === 1 ? 'looks' : 'look'} odd, as noted. They are taken as they are.`,
    caption: 'What would be taken',
    row: 'Row',
    column: 'Column',
    text: 'Text',
    readAs: 'Read as',
    note: 'Note',
    supersedes: (standing: string) => `supersedes ${standing}.`,
    more: (cells: number, most: number) => `… and ${cells - most} more.`,
    cancel: 'Cancel',
    take: (cells: number) => `Take ${cells} readings`,
  },
}
