import { type Screen, screenNames, screens } from './stores/screens.ts'
import { words } from './words.ts'

const { keys } = words

/** One line of the list of keys. */
export type KeyLine = { press: string; does: string }

/** All keys of the page but those that every field and list has anyway, by where they work. */
export const keyGroups: { where: string; lines: KeyLine[] }[] = [
  {
    where: keys.anywhere,
    lines: [
      ...screens.map((screen, at) => ({ press: `Alt Shift ${at + 1}`, does: screenNames[screen] })),
      { press: '/', does: keys.find },
      { press: '?', does: keys.list },
      { press: 'Ctrl Z', does: keys.undo },
      { press: 'Ctrl Shift Z', does: keys.redo },
      { press: 'H', does: keys.history },
      { press: 'Tab, Shift Tab', does: keys.nextPart },
      { press: 'Escape', does: keys.close },
    ],
  },
  {
    where: keys.reading,
    lines: [
      { press: 'Enter', does: keys.takeReading },
      { press: '↑ ↓', does: keys.otherSite },
    ],
  },
  {
    where: keys.grid,
    lines: [
      { press: '← ↑ → ↓', does: keys.nextCell },
      { press: keys.digit, does: keys.typeOver },
      { press: 'F2', does: keys.change },
      { press: 'Enter, Tab', does: keys.takeCell },
      { press: 'Delete', does: keys.takeBack },
      { press: 'Ctrl C, Ctrl V', does: keys.copy },
      { press: 'Ctrl D', does: keys.fill },
      { press: 'Ctrl A', does: keys.all },
    ],
  },
  {
    where: keys.chart,
    lines: [
      { press: '← ↑ → ↓', does: keys.crosshair },
      { press: '+ −', does: keys.closer },
      { press: '0', does: keys.whole },
    ],
  },
]

/** The screen that Alt Shift and a digit leads to. */
export function screenOfKey(event: Pick<KeyboardEvent, 'code' | 'altKey' | 'shiftKey'>): Screen | null {
  if (!event.altKey || !event.shiftKey) return null
  const digit = /^(?:Digit|Numpad)([1-9])$/.exec(event.code)?.[1]
  return screens[Number(digit) - 1] ?? null
}
