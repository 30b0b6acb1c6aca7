import type { Factor } from '../../../shared/contract/things.ts'
import { hasThousandsSigns, parseNumber } from '../../../shared/numbers.ts'
import type { Problem } from '../../../shared/problem.ts'
import type { ColumnMeaning } from './column-meaning.ts'
import type { CsvTable } from './csv.ts'
import { otherUnits } from './import-factors.ts'
import { guessLengthUnit } from './import-positions.ts'
import type { ImportShape } from './import-runs.ts'
import type { MeantColumn } from './row-cells.ts'

/** The file's columns with their meanings; one that the meanings do not name is left aside. */
export function meantColumns(table: CsvTable, meanings: readonly ColumnMeaning[]): MeantColumn[] {
  return table.columns.map((column, index) => {
    const { header, name } = column
    const meaning = meanings.find((each) => each.column === header)
    const meant = meaning ?? { column: header, means: 'ignored' as const, name: '', unit: '' }
    const needsName = meant.means === 'factor' || meant.means === 'response'
    const decimal = meant.decimal ?? column.decimal
    const asked = meant.thousands === undefined ? thousandsAsked(table, index) : null
    return {
      ...meant,
      name: meant.name.trim() || (needsName ? name : ''),
      index,
      decimal,
      thousands: meant.thousands === 'none' ? undefined : meant.thousands,
      doubt: asked ?? (meant.decimal === undefined && meant.thousands === undefined ? column.doubt : null),
    }
  })
}

/** A column whose cells look as if they had signs between the thousands: which is a question, never a guess. */
function thousandsAsked(table: CsvTable, index: number): Problem | null {
  const found = table.rows.find(({ cells }) => hasThousandsSigns(cells[index] as string))
  if (!found) return null
  const { header } = table.columns[index] as CsvTable['columns'][number]
  const { row } = found
  return {
    code: 'thousandsAsked',
    message:
      `Column ‘${header}’: ‘${(found.cells[index] as string).trim()}’ in row ${row} seems to have signs between ` +
      'its thousands. Say which the column has there.',
    row,
    column: header,
  }
}

/** The same meanings, with a unit for positions whose headers name none, as their numbers suggest it. */
export function withGuessedUnits(
  table: CsvTable,
  meanings: readonly ColumnMeaning[],
  substrate: Parameters<typeof guessLengthUnit>[1],
): ColumnMeaning[] {
  const isOpen = ({ means, unit }: ColumnMeaning) => ['x', 'y', 'radius'].includes(means) && unit === ''
  let farthest = 0
  meanings.forEach((meaning, i) => {
    if (!isOpen(meaning)) return
    const { decimal } = table.columns[i] as CsvTable['columns'][number]
    for (const { cells } of table.rows) {
      const read = parseNumber(cells[i] as string, { decimal })
      if (read.ok) farthest = Math.max(farthest, Math.abs(read.value))
    }
  })
  const unit = guessLengthUnit(farthest, substrate)
  return meanings.map((meaning) => (isOpen(meaning) ? { ...meaning, unit } : meaning))
}

/** What is wrong with the meanings themselves, or has to be asked before a column is taken for numbers. */
export function columnProblems(
  columns: readonly MeantColumn[],
  texts: ReadonlySet<string>,
  known: readonly Factor[],
): Problem[] {
  return [
    ...columns.flatMap(({ means, name, doubt }) => (doubt && isNumbers(means, name, texts) ? [doubt] : [])),
    ...nothingMeant(columns),
    ...mappedTwice(columns),
    ...unnumberedSites(columns),
    ...otherUnits(columns, known),
  ]
}

const numberMeanings: readonly ColumnMeaning['means'][] = [
  'site',
  'x',
  'y',
  'radius',
  'angle',
  'repeat',
  'optical index',
  'reading',
  'wide site',
  'response',
  'block',
  'plate visit',
  'run order',
  'standard order',
]

function isNumbers(means: ColumnMeaning['means'], name: string, textFactors: ReadonlySet<string>): boolean {
  return numberMeanings.includes(means) || (means === 'factor' && !textFactors.has(name))
}

/** What a row is. */
export function shapeOf(columns: readonly MeantColumn[]): ImportShape {
  if (columns.some(({ means }) => means === 'wide site')) return 'wide readings'
  return columns.some(({ means }) => means === 'reading') ? 'readings' : 'runs'
}

const telling: readonly ColumnMeaning['means'][] = ['run', 'factor', 'response', 'reading', 'wide site']

function nothingMeant(columns: readonly MeantColumn[]): Problem[] {
  if (columns.some(({ means }) => telling.includes(means))) return []
  return [
    {
      code: 'nothingMeant',
      message:
        'No column says what was set or read. Say which is the run, a factor, a response or a reading.',
    },
  ]
}

/** Meanings that only one column can have, and names that only one can bear. */
function mappedTwice(columns: readonly MeantColumn[]): Problem[] {
  const seen = new Map<string, string>()
  return columns.flatMap(({ means, name, column }): Problem[] => {
    if (means === 'ignored') return []
    const key = ['factor', 'response', 'actual'].includes(means)
      ? `${means === 'actual' ? 'the actual ' : ''}‘${name}’`
      : means === 'wide site'
        ? `site ${name}`
        : `the ${means}`
    const before = seen.get(key)
    if (before === undefined) {
      seen.set(key, column)
      return []
    }
    return [
      {
        code: 'meantTwice',
        message: `Columns ‘${before}’ and ‘${column}’ both are ${key}. Leave one aside, or name it otherwise.`,
        column,
      },
    ]
  })
}

function unnumberedSites(columns: readonly MeantColumn[]): Problem[] {
  return columns
    .filter(({ means, name }) => means === 'wide site' && !/^[1-9]\d{0,3}$/.test(name))
    .map(({ column }) => ({
      code: 'siteNumber',
      message: `Column ‘${column}’: say which site it is, by its number.`,
      column,
    }))
}
