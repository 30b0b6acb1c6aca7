import { z } from 'zod'
import { runStates } from '../../../shared/contract/choices.ts'
import {
  type Actual,
  type CardStep,
  cardStep,
  type Run,
  type RunKind,
  runKinds,
} from '../../../shared/contract/things.ts'
import type { Problem } from '../../../shared/problem.ts'
import type { ThicknessUnit } from '../../../shared/units.ts'
import { actualFields, isActualField, readActual } from './actual-columns.ts'
import type { FileRow } from './records.ts'
import { type MeantColumn, RowCells } from './row-cells.ts'
import { type HowRead, type RowReading, RowReadings } from './row-readings.ts'

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

/** Reads rows one after another by the meanings of their columns. Positions are in mm as the file counts them. */
export class RowReader {
  private readonly cells: RowCells
  private readonly readings: RowReadings
  private readonly factors: readonly MeantColumn[]
  private readonly actual: readonly MeantColumn[]
  private readonly textFactors: ReadonlySet<string>

  constructor(
    columns: readonly MeantColumn[],
    options: { unit: ThicknessUnit; textFactors: ReadonlySet<string>; howRead: HowRead },
  ) {
    this.cells = new RowCells(columns)
    this.readings = new RowReadings(this.cells, columns, options)
    this.factors = columns.filter(({ means }) => means === 'factor')
    this.actual = columns.filter(({ means }) => means === 'actual')
    this.textFactors = options.textFactors
  }

  /** Cells that cannot be read. */
  get problems(): readonly Problem[] {
    return this.cells.problems
  }

  /** Cells that hold no reading where one could stand. */
  get leftAside(): readonly Problem[] {
    return this.readings.leftAside
  }

  read(at: FileRow): ImportRow {
    const { cells } = this
    cells.turnTo(at)
    const row: ImportRow = {
      row: at.row,
      run: cells.text('run') ?? null,
      settings: this.settings(),
      readings: this.readings.read(),
    }
    let name: keyof typeof textFields
    for (name in textFields) {
      const text = name === 'note' ? this.note() : cells.text(textFields[name])
      if (text !== undefined) row[name] = text
    }
    Object.assign(row, this.happened())
    let field: keyof typeof countFields
    for (field in countFields) {
      const number = cells.count(countFields[field])
      if (number !== null) row[field] = number
    }
    const state = cells.oneOf('state', runStates)
    if (state) row.state = state
    const kind = cells.oneOf('kind', runKinds)
    if (kind) row.kind = kind
    return row
  }

  private settings(): ImportRow['settings'] {
    const { cells } = this
    const settings: ImportRow['settings'] = {}
    for (const column of this.factors) {
      const cell = cells.of(column)
      if (cell === noSetting) continue
      if (cell === '') cells.problem(column, 'missingSetting', 'the setting is missing')
      else if (this.textFactors.has(column.name)) settings[column.name] = cell
      else {
        const value = cells.number(column, cell)
        if (value !== null) settings[column.name] = value
      }
    }
    return settings
  }

  /** A note keeps its blanks and lines. */
  private note(): string | null | undefined {
    const column = this.cells.column('note')
    return column && (this.cells.asWritten(column) || null)
  }

  /** What really happened, and the steps as our own files write them. */
  private happened(): Pick<ImportRow, 'actual' | 'steps' | 'stepsDone'> {
    const { cells } = this
    const fields = this.actual.flatMap((column): [string, unknown][] => {
      const cell = column.name === 'deviation' ? cells.asWritten(column) : cells.of(column)
      if (cell === '') return []
      if (!isActualField(column.name)) {
        cells.problem(column, 'unknownWord', `‘${column.name}’ is none of ${actualFields.join(', ')}`)
        return []
      }
      const read = readActual(column.name, cell, (text) => cells.number(column, text))
      if (read.value !== undefined) return [[column.name, read.value]]
      if (read.refused) cells.problem(column, 'unknownWord', read.refused)
      return []
    })
    const steps = cells.steps('steps', z.array(cardStep))
    const stepsDone = cells.steps('steps done', z.record(z.string(), z.string()))
    return {
      ...(fields.length > 0 ? { actual: Object.fromEntries(fields) } : {}),
      ...(steps ? { steps } : {}),
      ...(stepsDone ? { stepsDone } : {}),
    }
  }
}
