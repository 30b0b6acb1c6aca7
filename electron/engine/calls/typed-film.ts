import { type Answer, good, refuse } from '../../../shared/problem.ts'
import { parseThickness, thicknessUnitOf } from '../../../shared/units.ts'

/** A thickness as typed, its value in nm; what is not above zero is none. */
export function typedFilm(text: string, unit: string): Answer<{ value: number; text: string; unit: string }> {
  const known = thicknessUnitOf(unit)
  if (known === null)
    return refuse('unknownUnit', `‘${unit}’ is no unit of thickness. Use nm, Å or µm.`, { column: 'unit' })
  const read = parseThickness(text, { unit: known })
  if (!read.ok) return read
  const { valueNm, ...typed } = read.value
  if (!(valueNm > 0))
    return refuse('notAboveZero', `‘${text.trim()}’ is no thickness: it must be above zero.`)
  return good({ value: valueNm, ...typed })
}
