import { type Answer, good, refuse } from './problem.ts'

/** Which sign separates the decimals, where a whole column or a person has settled it. */
export type DecimalSign = 'comma' | 'point'

/** Which sign parts the thousands, where a person has said so for a whole column. */
export type ThousandsSign = 'comma' | 'point' | 'blank' | 'apostrophe'

const thousandsSigns: Record<ThousandsSign, string> = {
  comma: ',',
  point: '\\.',
  // Among them the blanks that do not break.
  blank: '[ \u00A0\u2009\u202F]',
  apostrophe: "['\u2019]",
}

/** Whether a text looks like a number with signs between its thousands; which ones is not guessed. */
export const hasThousandsSigns = (text: string): boolean =>
  /^[+\-\u2212]?\d{1,3}(?:[.,' \u00A0\u2009\u202F\u2019]\d{3})+(?:[.,]\d*)?$/.test(text.trim()) &&
  (/[' \u00A0\u2009\u202F\u2019]/.test(text.trim()) || (text.match(/[.,]/g) ?? []).length > 1)

let signShown = (): DecimalSign => 'point'

/**
 * Says by which decimal sign numbers are shown from now on: for the page alone, which follows the system or the person.
 * Files, the command line and the report keep the point, so that they read the same everywhere.
 */
export function showDecimalsBy(sign: () => DecimalSign): void {
  signShown = sign
}

/** A number as code writes it, with the decimal sign in which it is shown. */
export const inDecimalSign = (text: string): string =>
  signShown() === 'comma' ? text.replace('.', ',') : text

const plain = /^[+-]?(\d+(\.\d*)?|\.\d+)(e[+-]?\d+)?$/i

/**
 * Reads one number as people type it: decimal point or comma, an optional exponent, a Unicode minus.
 * No character is ever dropped. Without `decimal` a single point or comma is the decimal sign; a text
 * that holds both, or either twice, may be meant with thousands signs and is refused rather than guessed.
 * With `decimal`, only that sign is accepted. With `thousands`, that sign may stand before every three digits in
 * front of the decimals, and nowhere else.
 *
 * @returns the number, or a problem with code `notANumber` or `ambiguousNumber`
 */
export function parseNumber(
  text: string,
  options: { decimal?: DecimalSign; thousands?: ThousandsSign | undefined } = {},
): Answer<number> {
  const trimmed = withoutThousands(text.trim().replace(/\u2212/g, '-'), options.thousands)
  const shown = `‘${text.trim()}’`
  if (trimmed === '') return refuse('notANumber', 'The number is missing.')
  const signs = trimmed.match(/[.,]/g) ?? []
  if (signs.length > 1 && /^[+-]?\d{1,3}([.,]\d{3})+([.,]\d*)?$/.test(trimmed))
    return refuse(
      'ambiguousNumber',
      `${shown} may be written with thousands signs. Write it without them, with one decimal sign.`,
    )
  if (signs.length > 1) return refuse('notANumber', `${shown} is no number.`)
  const sign = signs[0]
  if (
    sign !== undefined &&
    options.decimal !== undefined &&
    sign !== (options.decimal === 'comma' ? ',' : '.')
  )
    return refuse('notANumber', `${shown} does not use the decimal ${options.decimal} of this column.`)
  const pointed = trimmed.replace(',', '.')
  if (!plain.test(pointed)) return refuse('notANumber', `${shown} is no number.`)
  const value = Number(pointed)
  return Number.isFinite(value) ? good(value) : refuse('notANumber', `${shown} is too large.`)
}

/** The text without its thousands signs, where each of them stands before three digits of the whole part. */
function withoutThousands(text: string, thousands: ThousandsSign | undefined): string {
  if (thousands === undefined) return text
  const sign = thousandsSigns[thousands]
  const grouped = new RegExp(`^([+-]?\\d{1,3}(?:${sign}\\d{3})+)((?!${sign})[.,]\\d*)?$`).exec(text)
  return grouped ? `${(grouped[1] as string).replace(new RegExp(sign, 'g'), '')}${grouped[2] ?? ''}` : text
}
