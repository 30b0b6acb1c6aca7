import { z } from 'zod'
import { readingStages, runStates } from '../../../shared/contract/choices.ts'
import type { Actual, CardStep, ReadingStage, Run, RunKind } from '../../../shared/contract/things.ts'
import { cardStep, runKinds } from '../../../shared/contract/things.ts'
import {
  type DecimalSign,
  hasThousandsSigns,
  parseNumber,
  type ThousandsSign,
} from '../../../shared/numbers.ts'
import type { Problem } from '../../../shared/problem.ts'
import { parseThickness, type ThicknessUnit, thicknessUnitOf } from '../../../shared/units.ts'
import { actualFields, isActualField, parsed, readActual } from './actual-columns.ts'
import type { ColumnMeaning } from './column-meaning.ts'
import { isFailedPoint } from './csv.ts'
import { degrees, millimetres } from './import-positions.ts'
import type { FileRow } from './records.ts'

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
  defect?: string | null
  coatedAt?: string | null
  substrate?: string | null
  actual?: Actual
  steps?: CardStep[] | null
  stepsDone?: Record<string, string>
  state?: Run['state']
  kind?: RunKind
  block?: number
  plateVisit?: number
  runOrder?: number
  standardOrder?: number
  readings: RowReading[]
}

/** Cell of a factor that a run has no setting of. */
export const noSetting = 'not set'

/** A column with what it means and where it stands. */
export type MeantColumn = Omit<ColumnMeaning, 'decimal' | 'thousands'> & {
  index: number
  decimal: DecimalSign
  thousands: ThousandsSign | undefined
  doubt: Problem | null
}

const states: readonly string[] = runStates

/** How a film was read where no column says it. */
export type HowRead = Pick<RowReading, 'takenAfter' | 'opticalIndex'>

/** Columns of words, and of whole numbers, by the field of a row that they fill. */
const textFields = {
  lot: 'lot',
  session: 'session',
  stage: 'stage',
  note: 'note',
  runExcluded: 'run excluded',
  defect: 'defect',
  coatedAt: 'coated at',
  substrate: 'substrate',
} as const
const countFields = {
  block: 'block',
  plateVisit: 'plate visit',
  runOrder: 'run order',
  standardOrder: 'standard order',
} as const

/**
 * Reads rows one after another by the meanings of their columns. Every cell that cannot be read is a problem of its
 * own. Positions are in mm as the file counts them.
 */
export class RowReader {
  readonly problems: Problem[] = []
  readonly leftAside: Problem[] = []
  private readonly byMeaning = new Map<ColumnMeaning['means'], MeantColumn>()
  private readonly factors: readonly MeantColumn[]
  private readonly actual: readonly MeantColumn[]
  private readonly valueColumns: readonly MeantColumn[]
  private readonly unit: ThicknessUnit
  private readonly howRead: HowRead
  private readonly textFactors: ReadonlySet<string>
  private at: FileRow = { row: 0, cells: [] }

  constructor(
    columns: readonly MeantColumn[],
    options: { unit: ThicknessUnit; textFactors: ReadonlySet<string>; howRead: HowRead },
  ) {
    for (const column of columns)
      if (!this.byMeaning.has(column.means)) this.byMeaning.set(column.means, column)
    this.factors = columns.filter(({ means }) => means === 'factor')
    this.actual = columns.filter(({ means }) => means === 'actual')
    this.valueColumns = columns.filter(({ means }) => ['reading', 'wide site', 'response'].includes(means))
    this.unit = options.unit
    this.howRead = options.howRead
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
    let name: keyof typeof textFields
    for (name in textFields) {
      const text = name === 'note' ? this.note() : this.text(textFields[name])
      if (text !== undefined) row[name] = text
    }
    Object.assign(row, this.happened())
    let field: keyof typeof countFields
    for (field in countFields) {
      const number = this.count(countFields[field])
      if (number !== null) row[field] = number
    }
    const state = this.oneOf('state', states)
    if (state) row.state = state as Run['state']
    const kind = this.oneOf('kind', runKinds)
    if (kind) row.kind = kind as RunKind
    return row
  }

  /** What really happened, and the steps as our own files write them. */
  private happened(): Pick<ImportRow, 'actual' | 'steps' | 'stepsDone'> {
    const fields = this.actual.flatMap((column): [string, unknown][] => {
      const cell = column.name === 'deviation' ? (this.at.cells[column.index] as string) : this.cell(column)
      if (cell === '') return []
      if (!isActualField(column.name)) {
        this.problem(column, 'unknownWord', `‘${column.name}’ is none of ${actualFields.join(', ')}`)
        return []
      }
      const read = readActual(column.name, cell, (text) => this.number(column, text))
      if (read.value !== undefined) return [[column.name, read.value]]
      if (read.refused) this.problem(column, 'unknownWord', read.refused)
      return []
    })
    const steps = this.json('steps', z.array(cardStep))
    const stepsDone = this.json('steps done', z.record(z.string(), z.string()))
    return {
      ...(fields.length > 0 ? { actual: Object.fromEntries(fields) } : {}),
      ...(steps ? { steps } : {}),
      ...(stepsDone ? { stepsDone } : {}),
    }
  }

  private json<T>(means: 'steps' | 'steps done', shape: z.ZodType<T>): T | null {
    const column = this.column(means)
    const cell = column && this.cell(column)
    if (!column || !cell) return null
    const read = parsed(cell, shape)
    if (read === null)
      this.problem(column, 'unknownWord', 'this is no list of steps as the program writes it')
    return read
  }

  private settings(): ImportRow['settings'] {
    const settings: ImportRow['settings'] = {}
    for (const column of this.factors) {
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

  /** The site and the position that a row says, mm as the file counts them; null where it says none. */
  place(at: FileRow): Pick<RowReading, 'site' | 'xMm' | 'yMm'> {
    this.at = at
    const [xMm, yMm] = this.position()
    return { site: this.count('site'), xMm, yMm }
  }

  private readings(): RowReading[] {
    const excluded = this.text('excluded') ?? null
    const at = this.text('read at') ?? null
    const place = { ...this.place(this.at), repeat: this.repeat(), excluded, at }
    return this.valueColumns.flatMap((column) => {
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
      return this.reading(column, { ...place, quantity: column.name }, column.unit)
    })
  }

  private reading(
    column: MeantColumn,
    place: Omit<RowReading, 'column' | 'value' | 'text' | 'unit' | keyof HowRead>,
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
        ...this.how(place.quantity),
        column: column.column,
        text: typedText ?? read.text,
        unit: typedUnit ?? read.unit,
      },
    ]
  }

  private repeat(): number {
    const repeat = this.count('repeat') ?? 1
    if (repeat >= 1) return repeat
    this.problem(this.column('repeat') as MeantColumn, 'notWhole', 'repeats count from 1')
    return 1
  }

  /** Stage and index by their columns; without those the film's are what is said of the whole file. */
  private how(quantity: string): HowRead {
    const usual = quantity === 'thickness' ? this.howRead : { takenAfter: null, opticalIndex: null }
    const column = this.column('optical index')
    const cell = column && this.cell(column)
    return {
      takenAfter: this.column('taken after')
        ? (this.oneOf('taken after', readingStages) as ReadingStage | null)
        : usual.takenAfter,
      opticalIndex: column ? (cell ? this.number(column, cell) : null) : usual.opticalIndex,
    }
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
    const read = parseThickness(cell, {
      unit: ofColumn,
      decimal: column.decimal,
      thousands: column.thousands,
    })
    if (read.ok) return { value: read.value.valueNm, text: read.value.text, unit: read.value.unit }
    this.refused(column, cell, read.problems)
    return null
  }

  private column(means: ColumnMeaning['means']): MeantColumn | undefined {
    return this.byMeaning.get(means)
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
    const number = parseNumber(cell, { decimal: column.decimal, thousands: column.thousands })
    if (number.ok) return number.value
    this.refused(column, cell, number.problems)
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

  /** x and y, mm, from their columns or from radius and angle, counter-clockwise from +x. */
  private position(): [number | null, number | null] {
    if (!this.byMeaning.has('radius') || !this.byMeaning.has('angle'))
      return [this.length('x'), this.length('y')]
    const radius = this.length('radius')
    const angle = this.inUnits('angle', degrees, 'angle; say deg or rad')
    if (radius === null || angle === null) return [null, null]
    return [radius * Math.cos((angle * Math.PI) / 180), radius * Math.sin((angle * Math.PI) / 180)]
  }

  private length(means: 'x' | 'y' | 'radius'): number | null {
    return this.inUnits(means, millimetres, 'length; say mm, µm, cm or inch')
  }

  private inUnits(
    means: 'x' | 'y' | 'radius' | 'angle',
    units: Record<string, number>,
    words: string,
  ): number | null {
    const column = this.column(means)
    const cell = column && this.cell(column)
    if (!column || !cell) return null
    const factor = units[column.unit]
    const value = this.number(column, cell)
    if (factor !== undefined) return value === null ? null : value * factor
    this.problem(column, 'unknownUnit', `‘${column.unit}’ is no unit of ${words}`)
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

  private refused(column: MeantColumn, cell: string, problems: readonly Problem[]): void {
    // What is asked about the whole column is not asked again by its cells.
    if (column.doubt && hasThousandsSigns(cell)) return
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
