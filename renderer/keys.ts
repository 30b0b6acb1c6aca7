import { type Screen, screenNames, screens } from './stores/screens.ts'

/** One line of the list of keys. */
export type KeyLine = { press: string; does: string }

/** All keys of the page but those that every field and list has anyway, by where they work. */
export const keyGroups: { where: string; lines: KeyLine[] }[] = [
  {
    where: 'Anywhere, but while a field is typed into',
    lines: [
      ...screens.map((screen, at) => ({ press: `Alt Shift ${at + 1}`, does: screenNames[screen] })),
      { press: '/', does: 'find a study or a run' },
      { press: '?', does: 'this list' },
      { press: 'Ctrl Z', does: 'undo the last step' },
      { press: 'Ctrl Shift Z', does: 'redo it' },
      { press: 'Tab, Shift Tab', does: 'to the next part, back' },
      { press: 'Escape', does: 'close what lies over the page' },
    ],
  },
  {
    where: 'Reading a wafer',
    lines: [
      { press: 'Enter', does: 'take the reading and go to the next site' },
      { press: '↑ ↓', does: 'to the site before or after' },
    ],
  },
  {
    where: 'In a grid of readings',
    lines: [
      { press: '← ↑ → ↓', does: 'to the next cell; with Shift more cells' },
      { press: 'a digit', does: 'type over the cell' },
      { press: 'F2', does: 'change what it holds' },
      { press: 'Enter, Tab', does: 'take it and go down, to the right' },
      { press: 'Delete', does: 'take the readings back' },
      { press: 'Ctrl C, Ctrl V', does: 'copy cells, paste a block' },
      { press: 'Ctrl D', does: 'fill down' },
      { press: 'Ctrl A', does: 'choose all cells' },
    ],
  },
  {
    where: 'In a chart',
    lines: [
      { press: '← ↑ → ↓', does: 'move the crosshair' },
      { press: '+ −', does: 'closer, farther' },
      { press: '0', does: 'the whole chart' },
    ],
  },
]

/** The screen that Alt Shift and a digit leads to. */
export function screenOfKey(event: Pick<KeyboardEvent, 'code' | 'altKey' | 'shiftKey'>): Screen | null {
  if (!event.altKey || !event.shiftKey) return null
  const digit = /^(?:Digit|Numpad)([1-9])$/.exec(event.code)?.[1]
  return screens[Number(digit) - 1] ?? null
}
