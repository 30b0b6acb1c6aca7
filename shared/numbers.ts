import { type Answer, good, refuse } from './problem.ts'

/** Which sign separates the decimals, where a whole column or a person has settled it. */
export type DecimalSign = 'comma' | 'point'

const plain = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i

/**
 * Reads one number as people type it: decimal point or comma, an optional exponent, a Unicode minus.
 * No character is ever dropped. Without `decimal` a single point or comma is the decimal sign; a text
 * that holds both, or either twice, may be meant with thousands signs and is refused rather than guessed.
 * With `decimal`, only that sign is accepted.
 *
 * @returns the number, or a problem with code `notANumber` or `ambiguousNumber`
 */
export function parseNumber(text: string, options: { decimal?: DecimalSign } = {}): Answer<number> {
  const trimmed = text.trim().replace(/\u2212/g, '-')
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
