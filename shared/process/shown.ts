/** A number in a sentence: at most four significant digits, whole numbers in full. */
export function shown(value: number): string {
  return Number.isInteger(value) ? String(value) : String(Number(value.toPrecision(4)))
}
