import { readingStages } from '../../../shared/contract/choices.ts'
import type { ReadingStage } from '../../../shared/contract/things.ts'
import type { Problem } from '../../../shared/problem.ts'
import { parseThickness, type ThicknessUnit, thicknessUnitOf } from '../../../shared/units.ts'
import { isFailedPoint } from './csv.ts'
import { degrees, millimetres } from './import-positions.ts'
import type { MeantColumn, RowCells } from './row-cells.ts'

/** A reading as a row of a file says it; `column` is the header above it. */
export type RowReading = {
  column: string
  quantity: string
  site: number | null
  xMm: number | null
  yMm: number | null
  repeat: number
  takenAfter: ReadingStage | null
  opticalIndex: number | null
  /** nm where the quantity is thickness. */
  value: number
  text: string
  unit: string
  at: string | null
  excluded: string | null
}

/** How a film was read where no column says it. */
export type HowRead = Pick<RowReading, 'takenAfter' | 'opticalIndex'>

/** What is the same for all readings of a row. */
type OfRow = Pick<RowReading, 'site' | 'xMm' | 'yMm' | 'repeat' | 'excluded' | 'at'>

/** The readings of rows, one row after another. */
export class RowReadings {
  /** Cells that hold no reading where one could stand. */
  readonly leftAside: Problem[] = []
  private readonly cells: RowCells
  private readonly columns: readonly MeantColumn[]
  private readonly unit: ThicknessUnit
  private readonly howRead: HowRead

  constructor(
    cells: RowCells,
    columns: readonly MeantColumn[],
    { unit, howRead }: { unit: ThicknessUnit; howRead: HowRead },
  ) {
    this.cells = cells
    this.columns = columns.filter(({ means }) => ['reading', 'wide site', 'response'].includes(means))
    this.unit = unit
    this.howRead = howRead
  }

  /** The readings of the row that the cells are at. */
  read(): RowReading[] {
    const { cells } = this
    const ofRow: OfRow = {
      excluded: cells.text('excluded') ?? null,
      at: cells.text('read at') ?? null,
      ...placeIn(cells),
      repeat: this.repeat(),
    }
    return this.columns.flatMap((column) => {
      if (column.means === 'reading') {
        const quantity = cells.text('quantity') ?? (column.name || 'thickness')
        return this.reading(column, { ...ofRow, quantity }, cells.text('unit') ?? column.unit)
      }
      if (column.means === 'wide site') {
        const site = Number(column.name)
        return this.reading(column, { ...ofRow, site, quantity: 'thickness' }, column.unit)
      }
      return this.reading(column, { ...ofRow, quantity: column.name }, column.unit)
    })
  }

  private reading(column: MeantColumn, of: OfRow & { quantity: string }, unit: string): RowReading[] {
    const { cells } = this
    const cell = cells.of(column)
    if (cell === '' || isFailedPoint(cell)) {
      // An empty cell of a run says only that it has not been read.
      if (cell !== '' || column.means === 'reading') {
        const words = `no reading (${cell === '' ? 'empty' : `‘${cell}’`}).`
        this.leftAside.push(cells.about(column, 'noReading', words))
      }
      return []
    }
    const read = this.value(column, cell, of.quantity, unit)
    if (!read) return []
    return [
      {
        ...of,
        ...this.how(of.quantity),
        column: column.column,
        value: read.value,
        text: cells.text('typed text') ?? read.text,
        unit: cells.text('typed unit') ?? read.unit,
      },
    ]
  }

  private repeat(): number {
    const { cells } = this
    const repeat = cells.count('repeat') ?? 1
    if (repeat >= 1) return repeat
    cells.problem(cells.column('repeat') as MeantColumn, 'notWhole', 'repeats count from 1')
    return 1
  }

  /** Stage and index by their columns; without those the film's are what is said of the whole file. */
  private how(quantity: string): HowRead {
    const { cells } = this
    const usual = quantity === 'thickness' ? this.howRead : { takenAfter: null, opticalIndex: null }
    const index = cells.column('optical index')
    const cell = index && cells.of(index)
    return {
      takenAfter: cells.column('taken after') ? cells.oneOf('taken after', readingStages) : usual.takenAfter,
      opticalIndex: index ? (cell ? cells.number(index, cell) : null) : usual.opticalIndex,
    }
  }

  private value(column: MeantColumn, cell: string, quantity: string, unit: string) {
    const { cells } = this
    if (quantity !== 'thickness') {
      const value = cells.number(column, cell)
      return value === null ? null : { value, text: cell, unit }
    }
    const ofColumn = unit === '' ? this.unit : thicknessUnitOf(unit)
    if (ofColumn === null) {
      cells.problem(column, 'unknownUnit', `‘${unit}’ is no unit of thickness; say nm, Å or µm`)
      return null
    }
    const { decimal, thousands } = column
    const read = parseThickness(cell, { unit: ofColumn, decimal, thousands })
    if (read.ok) return { value: read.value.valueNm, text: read.value.text, unit: read.value.unit }
    cells.refuse(column, cell, read.problems)
    return null
  }
}

/** The site and the position that a row says, mm as the file counts them; null where it says none. */
export function placeIn(cells: RowCells): Pick<RowReading, 'site' | 'xMm' | 'yMm'> {
  const [xMm, yMm] = positionIn(cells)
  return { site: cells.count('site'), xMm, yMm }
}

/** x and y, mm, from their columns or from radius and angle, counter-clockwise from +x. */
function positionIn(cells: RowCells): [number | null, number | null] {
  const length = (means: 'x' | 'y' | 'radius') =>
    cells.inUnits(means, millimetres, 'length; say mm, µm, cm or inch')
  if (!cells.column('radius') || !cells.column('angle')) return [length('x'), length('y')]
  const radius = length('radius')
  const angle = cells.inUnits('angle', degrees, 'angle; say deg or rad')
  if (radius === null || angle === null) return [null, null]
  return [radius * Math.cos((angle * Math.PI) / 180), radius * Math.sin((angle * Math.PI) / 180)]
}
