import { parseNumber } from '../../../shared/numbers.ts'
import { parseThickness, type ThicknessUnit, thicknessUnitOf } from '../../../shared/units.ts'
import { isFailedPoint } from './csv.ts'
import { degrees, millimetres } from './import-positions.ts'
import { type MeantColumn, noSetting } from './import-rows.ts'

/** What a shown cell is read in: the study's unit of thickness, axes of positions, factors of words. */
export type Reading = {
  unit: ThicknessUnit
  place: { x(mm: number): number; y(mm: number): number }
  textFactors: ReadonlySet<string>
}

/**
 * What a cell is read as, for a person to see beside it: film in nm, positions in mm about the centre, angles in
 * degrees; null where there is nothing, nothing is meant, or it cannot be read.
 */
export function readAs(column: MeantColumn, raw: string, how: Reading): number | string | null {
  const cell = raw.trim()
  const { means, decimal, thousands } = column
  if (means === 'ignored' || cell === '') return null
  const number = () => {
    const read = parseNumber(cell, { decimal, thousands })
    return read.ok ? read.value : null
  }
  const scaled = (units: Record<string, number>) => {
    const [value, factor] = [number(), units[column.unit]]
    return value === null || factor === undefined ? null : value * factor
  }
  switch (means) {
    case 'reading':
    case 'wide site':
    case 'response': {
      if (isFailedPoint(cell)) return null
      if (means === 'response' && column.name !== 'thickness') return number()
      const unit = column.unit === '' ? how.unit : thicknessUnitOf(column.unit)
      const read = unit && parseThickness(cell, { unit, decimal, thousands })
      return read?.ok ? read.value.valueNm : null
    }
    case 'x':
    case 'y': {
      const mm = scaled(millimetres)
      return mm === null ? null : how.place[means](mm)
    }
    case 'radius':
      return scaled(millimetres)
    case 'angle':
      return scaled(degrees)
    case 'factor':
      if (cell === noSetting) return null
      return how.textFactors.has(column.name) ? cell : number()
    case 'site':
    case 'block':
    case 'plate visit':
    case 'run order':
    case 'standard order':
      return number()
    default:
      return cell
  }
}
