import { plainNumber } from '../shared/charts/format.ts'
import { unknown } from './format.ts'

/** What stands behind the whole digits of a bare number: its point and decimals; null for other texts. */
function behindWhole(text: string): string | null {
  const found = /^[-\u2212]?\d+(?<rest>[.,]\d*)?$/.exec(text)
  return found && (found.groups?.rest ?? '')
}

/**
 * Spaces as wide as the point and the digits that a right-aligned number lacks, so that the points of a column stand
 * under each other and no digit is invented. Nothing behind what is no bare number. No-break spaces, of which a digit
 * takes two and a point one, since wider ones would hang over the end of the line.
 */
export function pointRoom(text: string, decimals: number): string {
  const rest = behindWhole(text)
  if (rest === null || decimals === 0) return ''
  const digits = Math.max(0, decimals - Math.max(0, rest.length - 1))
  return '\u00a0'.repeat(2 * digits + (rest === '' ? 1 : 0))
}

/** The same room in widths of a digit. */
export const pointRoomInDigits = (text: string, decimals: number): number =>
  pointRoom(text, decimals).length / 2

/** The values of a column as texts, their points under each other. */
export function onePoint(values: readonly (number | string | null | undefined)[]): string[] {
  const texts = values.map((value) => (typeof value === 'number' ? plainNumber(value) : (value ?? unknown)))
  const decimals = texts.reduce((most, text) => Math.max(most, (behindWhole(text)?.length ?? 0) - 1), 0)
  return texts.map((text) => text + pointRoom(text, decimals))
}
