import { parseNumber } from '../../shared/numbers.ts'
import type { Answer } from '../../shared/problem.ts'
import { good, refuse } from '../../shared/problem.ts'
import { parseThickness, type ThicknessUnit } from '../../shared/units.ts'
import { words } from './words.ts'

export type NumberRules = { low?: number; high?: number; whole?: boolean; mayBeEmpty?: boolean }

/** What was typed into a number field, with decimal point or comma: a number, null where left empty, or why not. */
export function readNumberField(text: string, rules: NumberRules = {}): Answer<number | null> {
  if (text.trim() === '' && rules.mayBeEmpty) return good(null)
  const number = parseNumber(text)
  return number.ok ? within(number.value, text, rules) : number
}

/** What was typed into a thickness field, in nm: any unit may be typed behind the number. */
export function readThicknessField(
  text: string,
  unit: ThicknessUnit,
  rules: { mayBeEmpty?: boolean } = {},
): Answer<number | null> {
  if (text.trim() === '' && rules.mayBeEmpty) return good(null)
  const thickness = parseThickness(text, { unit })
  if (!thickness.ok) return thickness
  if (thickness.value.valueNm <= 0) return refuse('outOfRange', words.field.notPositive)
  return good(thickness.value.valueNm)
}

function within(value: number, text: string, rules: NumberRules): Answer<number> {
  if (rules.whole && !Number.isInteger(value)) return refuse('notWhole', words.field.notWhole(text.trim()))
  if (rules.low !== undefined && value < rules.low)
    return refuse('outOfRange', words.field.below(text.trim(), rules.low))
  if (rules.high !== undefined && value > rules.high)
    return refuse('outOfRange', words.field.above(text.trim(), rules.high))
  return good(value)
}
