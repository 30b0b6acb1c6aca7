import type { Run, RunKind } from '../../../shared/contract/things.ts'
import { runKinds } from '../../../shared/contract/things.ts'
import { type DecimalSign, parseNumber } from '../../../shared/numbers.ts'
import type { Problem } from '../../../shared/problem.ts'
import { parseThickness, type ThicknessUnit, thicknessUnitOf } from '../../../shared/units.ts'
import type { ColumnMeaning } from './column-meaning.ts'
import { type CsvTable, isFailedPoint } from './csv.ts'
import type { FileRow } from './records.ts'

/** A reading as a row of a file says it; `column` is the header above it. */
export type RowReading = {
  column: string
  quantity: string
  site: number | null
  xMm: number | null
  yMm: number | null
  /** nm where the quantity is thickness. */
  value: number
  text: string
  unit: string
  at: string | null
  excluded: string | null
}

/** What a row of a file says; what it has no column for is undefined, a cell that is empty null. */
export type ImportRow = {
  row: number
  run: string | null
  settings: Record<string, number | string>
  lot?: string | null
  session?: string | null
  stage?: string | null
  note?: string | null
  runExcluded?: string | null
  state?: Run['state']
  kind?: RunKind
  block?: number
  plateVisit?: number
  runOrder?: number
  standardOrder?: number
  readings: RowReading[]
}

export type ReadRows = { rows: ImportRow[]; leftAside: Problem[]; problems: Problem[] }

/** Cell of a factor that a run has no setting of. */
export const noSetting = 'not set'

/** A column with what it means and where it stands. */
export type MeantColumn = ColumnMeaning & { index: number; decimal: DecimalSign; doubt: Problem | null }

/** mm in a unit of length as files name it. */
const millimetres: Record<string, number> = {
  '': 1,
  mm: 1,
  cm: 10,
  m: 1000,
  um: 1e-3,
  µm: 1e-3,
  μm: 1e-3,
  in: 25.4,
  inch: 25.4,
}
const states: readonly string[] = ['planned', 'coated', 'measured', 'dropped'] satisfies Run['state'][]

/** Reads every row by the meanings of its columns. Every cell that cannot be read is a problem of its own. */
export function readRows(
  table: CsvTable,
  columns: readonly MeantColumn[],
  options: { unit: ThicknessUnit; textFactors: ReadonlySet<string> },
): ReadRows {
  const reader = new RowReader(columns, options)
  const rows = table.rows.map((row) => reader.read(row))
  return { rows, leftAside: reader.leftAside, problems: reader.problems }
}

class RowReader {
  readonly problems: Problem[] = []
  readonly leftAside: Problem[] = []
  private readonly columns: readonly MeantColumn[]
  private readonly unit: ThicknessUnit
  private readonly textFactors: ReadonlySet<string>
  private at: FileRow = { row: 0, cells: [] }

  constructor(
    columns: readonly MeantColumn[],
    options: { unit: ThicknessUnit; textFactors: ReadonlySet<string> },
  ) {
    this.columns = columns
    this.unit = options.unit
    this.textFactors = options.textFactors
  }

  read(at: FileRow): ImportRow {
    this.at = at
    const row: ImportRow = {
      row: at.row,
      run: this.text('run') ?? null,
      settings: this.settings(),
      readings: this.readings(),
    }
    for (const [name, means] of [
      ['lot', 'lot'],
      ['session', 'session'],
      ['stage', 'stage'],
      ['note', 'note'],
      ['runExcluded', 'run excluded'],
    ] as const) {
      const text = means === 'note' ? this.note() : this.text(means)
      if (text !== undefined) row[name] = text
    }
    for (const [name, means] of [
      ['block', 'block'],
      ['plateVisit', 'plate visit'],
      ['runOrder', 'run order'],
      ['standardOrder', 'standard order'],
    ] as const) {
      const number = this.count(means)
      if (number !== null) row[name] = number
    }
    const state = this.oneOf('state', states)
    if (state) row.state = state as Run['state']
    const kind = this.oneOf('kind', runKinds)
    if (kind) row.kind = kind as RunKind
    return row
  }

  private settings(): ImportRow['settings'] {
    const settings: ImportRow['settings'] = {}
    for (const column of this.columns) {
      if (column.means !== 'factor') continue
      const cell = this.cell(column)
      if (cell === noSetting) continue
      if (cell === '') this.problem(column, 'missingSetting', 'the setting is missing')
      else if (this.textFactors.has(column.name)) settings[column.name] = cell
      else {
        const value = this.number(column, cell)
        if (value !== null) settings[column.name] = value
      }
    }
    return settings
  }

  private readings(): RowReading[] {
    const siteColumn = this.column('site')
    const siteText = siteColumn ? this.cell(siteColumn) : ''
    const site = siteText === '' ? null : this.count('site')
    const [xMm, yMm] = [this.length('x'), this.length('y')]
    const excluded = this.text('excluded') ?? null
    const at = this.text('read at') ?? null
    const place = { site, xMm, yMm, excluded, at }
    return this.columns.flatMap((column) => {
      if (column.means === 'reading') {
        const quantity = this.text('quantity') ?? (column.name || 'thickness')
        const unit = this.text('unit') ?? column.unit
        return this.reading(column, { ...place, quantity }, unit)
      }
      if (column.means === 'wide site')
        return this.reading(
          column,
          { ...place, site: Number(column.name), quantity: 'thickness' },
          column.unit,
        )
      if (column.means === 'response')
        return this.reading(column, { ...place, quantity: column.name }, column.unit)
      return []
    })
  }

  private reading(
    column: MeantColumn,
    place: Omit<RowReading, 'column' | 'value' | 'text' | 'unit'>,
    unit: string,
  ): RowReading[] {
    const cell = this.cell(column)
    if (cell === '' || isFailedPoint(cell)) {
      // An empty cell of a run says only that it has not been read.
      if (cell !== '' || column.means === 'reading') this.aside(column, cell)
      return []
    }
    const typedText = this.typed('typed text')
    const typedUnit = this.typed('typed unit')
    const read = this.value(column, cell, place.quantity, unit)
    if (!read) return []
    return [
      {
        ...place,
        ...read,
        column: column.column,
        text: typedText ?? read.text,
        unit: typedUnit ?? read.unit,
      },
    ]
  }

  private value(column: MeantColumn, cell: string, quantity: string, unit: string) {
    if (quantity !== 'thickness') {
      const value = this.number(column, cell)
      return value === null ? null : { value, text: cell, unit }
    }
    const ofColumn = unit === '' ? this.unit : thicknessUnitOf(unit)
    if (ofColumn === null) {
      this.problem(column, 'unknownUnit', `‘${unit}’ is no unit of thickness; say nm, Å or µm`)
      return null
    }
    const read = parseThickness(cell, { unit: ofColumn, decimal: column.decimal })
    if (read.ok) return { value: read.value.valueNm, text: read.value.text, unit: read.value.unit }
    this.refused(column, read.problems)
    return null
  }

  private column(means: ColumnMeaning['means']): MeantColumn | undefined {
    return this.columns.find((column) => column.means === means)
  }

  private cell(column: MeantColumn): string {
    return (this.at.cells[column.index] as string).trim()
  }

  /** Text of the cell, null where it is empty, undefined where there is no such column. */
  private text(means: ColumnMeaning['means']): string | null | undefined {
    const column = this.column(means)
    return column && (this.cell(column) || null)
  }

  /** A note keeps its blanks and lines. */
  private note(): string | null | undefined {
    const column = this.column('note')
    return column && (this.at.cells[column.index] || null)
  }

  private typed(means: 'typed text' | 'typed unit'): string | null {
    return this.text(means) ?? null
  }

  private number(column: MeantColumn, cell: string): number | null {
    const number = parseNumber(cell, { decimal: column.decimal })
    if (number.ok) return number.value
    this.refused(column, number.problems)
    return null
  }

  private count(means: ColumnMeaning['means']): number | null {
    const column = this.column(means)
    const cell = column && this.cell(column)
    if (!column || !cell) return null
    const value = this.number(column, cell)
    if (value === null || Number.isInteger(value)) return value
    this.problem(column, 'notWhole', `‘${cell}’ is no whole number`)
    return null
  }

  private length(means: 'x' | 'y'): number | null {
    const column = this.column(means)
    const cell = column && this.cell(column)
    if (!column || !cell) return null
    const mm = millimetres[column.unit]
    const value = this.number(column, cell)
    if (mm !== undefined) return value === null ? null : value * mm
    this.problem(column, 'unknownUnit', `‘${column.unit}’ is no unit of length; say mm, µm, cm or inch`)
    return null
  }

  private oneOf(means: ColumnMeaning['means'], words: readonly string[]): string | null {
    const column = this.column(means)
    const cell = column && this.cell(column)
    if (!column || !cell) return null
    if (words.includes(cell)) return cell
    this.problem(column, 'unknownWord', `‘${cell}’ is none of ${words.join(', ')}`)
    return null
  }

  private refused(column: MeantColumn, problems: readonly Problem[]): void {
    for (const { code, message } of problems) this.problem(column, code, message.replace(/\.$/, ''))
  }

  private problem(column: MeantColumn, code: string, words: string): void {
    const { row } = this.at
    this.problems.push({
      code,
      message: `Row ${row}, ${column.column}: ${words}.`,
      row,
      column: column.column,
    })
  }

  private aside(column: MeantColumn, cell: string): void {
    const { row } = this.at
    this.leftAside.push({
      code: 'noReading',
      message: `Row ${row}, ${column.column}: no reading (${cell === '' ? 'empty' : `‘${cell}’`}).`,
      row,
      column: column.column,
    })
  }
}
