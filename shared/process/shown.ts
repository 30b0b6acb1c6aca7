import { inDecimalSign } from '../numbers.ts'
/** A number in a sentence: at most four significant digits, whole numbers in full. */
export function shown(value: number): string {
  return Number.isInteger(value) ? String(value) : inDecimalSign(String(Number(value.toPrecision(4))))
}
