import { parseNumber } from '../../../shared/numbers.ts'
import { parseThickness, type ThicknessUnit, thicknessUnitOf } from '../../../shared/units.ts'
import { isFailedPoint } from './csv.ts'
import { degrees, millimetres } from './import-positions.ts'
import { noSetting } from './import-rows.ts'
import type { MeantColumn } from './row-cells.ts'

/** What a shown cell is read in: the study's unit of thickness, axes of positions, factors of words. */
export type Reading = {
  unit: ThicknessUnit
  place: { x(mm: number): number; y(mm: number): number }
  textFactors: ReadonlySet<string>
}

/**
 * What the cells of a row are read as, for a person to see beside them: film in nm, positions in mm about the centre,
 * angles in degrees; null where there is nothing, nothing is meant, or it cannot be read.
 */
export function readAs(
  columns: readonly MeantColumn[],
  cells: readonly string[],
  how: Reading,
): (number | string | null)[] {
  const said = (means: MeantColumn['means']) => {
    const column = columns.find((each) => each.means === means)
    return column && (cells[column.index] as string).trim()
  }
  const [quantity, unit] = [said('quantity'), said('unit')]
  return columns.map((column) => {
    // A row may say by itself what its reading is of, and in which unit.
    const own =
      column.means === 'reading'
        ? { ...column, name: quantity || column.name || 'thickness', unit: unit || column.unit }
        : column
    return cellAs(own, (cells[column.index] as string).trim(), how)
  })
}

function cellAs(column: MeantColumn, cell: string, how: Reading): number | string | null {
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
      if (means !== 'wide site' && column.name !== 'thickness') return number()
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
    case 'repeat':
    case 'optical index':
    case 'block':
    case 'plate visit':
    case 'run order':
    case 'standard order':
      return number()
    default:
      return cell
  }
}
