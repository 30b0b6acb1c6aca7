import { inDecimalSign } from '../numbers.ts'
import { fromNanometres, type ThicknessUnit } from '../units.ts'

/** How many decimals show two significant digits of an uncertainty, 0 to 6. */
export function decimalsFor(uncertainty: number): number {
  if (!(uncertainty > 0) || !Number.isFinite(uncertainty)) return 1
  return Math.min(6, Math.max(0, 1 - Math.floor(Math.log10(uncertainty) + 1e-9)))
}

/** A number with a fixed count of decimals and a true minus sign; a dash for what is missing. */
export function fixed(value: number | null | undefined, decimals: number): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return '–'
  const text = value.toFixed(decimals)
  return inDecimalSign(Number(text) === 0 ? text.replace('-', '') : text.replace('-', '\u2212'))
}

/** A number to so many significant digits, without an exponent between 1e-4 and 1e7. */
export function significant(value: number | null | undefined, digits = 4): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return '–'
  if (value === 0) return '0'
  const size = Math.abs(value)
  const text = size >= 1e-4 && size < 1e7 ? plain(value, digits) : exponential(value, digits)
  return inDecimalSign(text.replace(/^-/, '\u2212'))
}

function plain(value: number, digits: number): string {
  const decimals = Math.max(0, digits - 1 - Math.floor(Math.log10(Math.abs(value))))
  return value.toFixed(Math.min(decimals, 12))
}

const superscript = Object.fromEntries([...'-0123456789'].map((sign, i) => [sign, [...'⁻⁰¹²³⁴⁵⁶⁷⁸⁹'][i]]))

function exponential(value: number, digits: number): string {
  const [mantissa, power] = value.toExponential(digits - 1).split('e')
  const raised = String(Number(power)).replace(/[-0-9]/g, (sign) => superscript[sign] ?? sign)
  return `${mantissa}·10${raised}`
}

/**
 * An estimate and the ends of its interval, all to the place of the third significant digit of half the interval's
 * width: enough to tell the ends apart, however narrow it is.
 */
export function withInterval(
  estimate: number,
  lower: number | null,
  upper: number | null,
): { estimate: string; lower: string; upper: string } {
  const half = lower === null || upper === null ? 0 : (upper - lower) / 2
  const known = half > 0 && Number.isFinite(half)
  const decimals = 2 - Math.floor(Math.log10(half) + 1e-9)
  const largest = Math.max(Math.abs(estimate), Math.abs(lower ?? 0), Math.abs(upper ?? 0))
  const show = (value: number | null) => {
    if (!known || !value) return significant(value, 5)
    if (largest >= 1e-4 && largest < 1e7 && decimals <= 20) return fixed(value, Math.max(0, decimals))
    return significant(value, Math.max(1, decimals + 1 + Math.floor(Math.log10(Math.abs(value)))))
  }
  return { estimate: show(estimate), lower: show(lower), upper: show(upper) }
}

/** A setting as a person would write it: up to so many significant digits, no trailing zeros. */
export function plainNumber(value: number, digits = 6): string {
  return inDecimalSign(String(Number(value.toPrecision(digits))).replace('-', '\u2212'))
}

/** A fraction as percent. */
export function percent(fraction: number | null | undefined, decimals = 1): string {
  return fraction === null || fraction === undefined ? '–' : `${fixed(fraction * 100, decimals)} %`
}

/** A probability value as reports print it: never 0. */
export function pValue(p: number | null | undefined): string {
  if (p === null || p === undefined) return '–'
  return p < 0.0001 ? `< ${fixed(0.0001, 4)}` : fixed(p, p < 0.001 ? 5 : p < 0.1 ? 4 : 3)
}

/** The same with its sign: `p = 0.023`, `p < 0.0001`. */
export function pWords(p: number | null | undefined): string {
  const value = pValue(p)
  return value.startsWith('<') ? `p ${value}` : `p = ${value}`
}

/** How a response is shown: its unit, and its numbers in that unit. */
export type Shown = { name: string; unit: string; of: (value: number) => number }

/** Thickness shows in the unit of the study; any other response in the unit in which it was entered. */
export function shownResponse(response: string, unit: ThicknessUnit, otherUnit = ''): Shown {
  if (response !== 'thickness') return { name: response, unit: otherUnit, of: (value) => value }
  return { name: 'thickness', unit, of: (value) => fromNanometres(value, unit) }
}

/** `thickness (nm)`, or the name alone where there is no unit. */
export function withUnit(name: string, unit: string): string {
  return unit === '' ? name : `${name} (${unit})`
}

/** `3250 rpm`, or the number alone where there is no unit. */
export function quantity(text: string, unit: string): string {
  return unit === '' ? text : `${text} ${unit}`
}

/** A sentence for a narrow place: no line of it breaks between a number and its unit, or within `p = 0.02`. */
export function unbroken(sentence: string): string {
  return sentence
    .replace(/(\d) (?=(?:%|Å|°C|(?:nm|µm|mm|mL|rpm|s|min|h)(?![\p{L}\p{N}])))/gu, '$1\u00A0')
    .replace(/(?<=^|[\s(])(p|F|t) ([=<]) (?=\d)/g, '$1\u00A0$2\u00A0')
}
