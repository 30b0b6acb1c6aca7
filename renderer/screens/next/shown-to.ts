import { decimalsFor, fixed, type Shown } from '../../../shared/charts/format.ts'
import { words } from './words.ts'

/** Numbers of a response in the unit shown, to the digits that the width of an interval allows. */
export function shownTo(shown: Shown, [low, high]: readonly [number, number]) {
  const places = decimalsFor(shown.of(high - low) / 4)
  const number = (value: number | null) => fixed(value === null ? null : shown.of(value), places)
  return {
    number,
    span: ([from, to]: readonly [number, number]) => words.span(number(from), number(to)),
  }
}
