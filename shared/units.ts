import { type DecimalSign, parseNumber, type ThousandsSign } from './numbers.ts'
import { type Answer, good, refuse } from './problem.ts'

/** Units of film thickness that the program shows and takes. */
export type ThicknessUnit = 'nm' | 'Å' | 'µm'

export const thicknessUnits: readonly ThicknessUnit[] = ['nm', 'Å', 'µm']

const nanometres: Record<ThicknessUnit, number> = { nm: 1, Å: 0.1, µm: 1000 }
const perNanometre: Record<ThicknessUnit, number> = { nm: 1, Å: 10, µm: 0.001 }

/** Spellings met in files and fields: µ as U+00B5 or U+03BC or u, Å as U+00C5 or U+212B or A. */
const spellings: Record<string, ThicknessUnit> = {
  nm: 'nm',
  Å: 'Å',
  '\u212B': 'Å',
  A: 'Å',
  Ang: 'Å',
  ang: 'Å',
  Angstrom: 'Å',
  angstrom: 'Å',
  µm: 'µm',
  '\u03BCm': 'µm',
  um: 'µm',
  micron: 'µm',
  microns: 'µm',
}

/** The thickness unit that a written unit means, or null where it is none. */
export function thicknessUnitOf(written: string): ThicknessUnit | null {
  return spellings[written.trim().normalize('NFC')] ?? spellings[written.trim()] ?? null
}

/** Thickness in nm. 1 Å is divided rather than multiplied, so that 15306 Å is exactly 1530.6 nm. */
export function toNanometres(value: number, unit: ThicknessUnit): number {
  return unit === 'Å' ? value / 10 : value * nanometres[unit]
}

/** Thickness in the given unit, from nm. */
export function fromNanometres(valueNm: number, unit: ThicknessUnit): number {
  return unit === 'µm' ? valueNm / 1000 : valueNm * perNanometre[unit]
}

/** A thickness as typed: the value in nm beside the text and the unit that were meant. */
export type TypedThickness = { valueNm: number; text: string; unit: ThicknessUnit }

/**
 * Reads a thickness such as `1530.6`, `1,5306 µm` or `15306 Å`. A unit in the text wins over `unit`.
 *
 * @param options.unit the unit of a number that stands alone
 */
export function parseThickness(
  text: string,
  options: { unit: ThicknessUnit; decimal?: DecimalSign; thousands?: ThousandsSign | undefined },
): Answer<TypedThickness> {
  if (text.trim() === '') return refuse('notANumber', 'The number is missing.')
  const parts = /^(.*?[\d.,])\s*([^\d\s.,]+)?$/u.exec(text.trim())
  if (!parts) return refuse('notANumber', `‘${text.trim()}’ is no number.`)
  const [, digits = '', written] = parts
  const unit = written === undefined ? options.unit : thicknessUnitOf(written)
  if (unit === null) return refuse('unknownUnit', `‘${written}’ is no unit of thickness. Use nm, Å or µm.`)
  const { decimal, thousands } = options
  const number = parseNumber(digits, decimal === undefined ? { thousands } : { decimal, thousands })
  if (!number.ok) return number
  return good({ valueNm: toNanometres(number.value, unit), text: text.trim(), unit })
}

/** A number as it was typed, without the unit that stands behind it. */
export const withoutUnit = (text: string): string =>
  text
    .trim()
    .replace(/^(.*[\d\s.,])?[^\d\s.,]+$/su, '$1')
    .trimEnd()

/** A header such as `thickness (nm)`, `thickness [nm]` or `x_mm`, split into its name and its unit. */
export function splitHeader(header: string): { name: string; unit: string | null } {
  const trimmed = header.trim()
  const bracketed = lastBracket(trimmed)
  if (bracketed) return bracketed
  const suffixed = /^(.+)_(mm|cm|inch|in|nm|um|µm|\u03BCm|Å|\u212B|ang|deg|rad|rpm|degC|s)$/.exec(trimmed)
  if (suffixed?.[1]) return { name: suffixed[1], unit: suffixed[2] ?? null }
  return { name: trimmed, unit: null }
}

/** What stands before a bracket that ends the text, and in it; null where none does, or nothing stands before it. */
function lastBracket(text: string): { name: string; unit: string | null } | null {
  if (!text.endsWith(')') && !text.endsWith(']')) return null
  const inner = text.slice(0, -1)
  const from = Math.max(inner.lastIndexOf(')'), inner.lastIndexOf(']')) + 1
  const opens = inner.slice(from).search(/[([]/)
  const name = text.slice(0, from + opens).trim()
  return opens < 0 || name === '' ? null : { name, unit: inner.slice(from + opens + 1).trim() || null }
}
