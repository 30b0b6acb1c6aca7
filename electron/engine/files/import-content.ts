import type { Factor, Study } from '../../../shared/contract/things.ts'
import type { CheckedArgs, Result } from '../../../shared/contract.ts'
import type { Problem } from '../../../shared/problem.ts'
import { type ColumnMeaning, guessMeanings } from './column-meaning.ts'
import { type CsvTable, inspectCsv } from './csv.ts'
import { newFactors, otherUnits, textFactors } from './import-factors.ts'
import { placeReadings } from './import-film.ts'
import { type MeantColumn, readRows } from './import-rows.ts'
import { type ImportRun, type ImportShape, runsOfRows } from './import-runs.ts'
import { isSummaryRow, withoutSummaries } from './summary-rows.ts'

type Source = Omit<CheckedArgs<'imports.preview'>, 'studyId'>

/** What a file holds for a study, before it is compared with what the study has. */
export type ImportContent = {
  shape: ImportShape
  runs: ImportRun[]
  /** Factors to be added, or to be given further levels. */
  factors: Factor[]
  /** What of the preview is known from the file alone. */
  shown: Pick<
    Result<'imports.preview'>,
    'delimiter' | 'decimal' | 'columns' | 'rows' | 'rowCount' | 'flagged' | 'leftAside' | 'problems'
  >
}

/** Rows that the preview shows as they stand. */
const shownRows = 20

/**
 * Reads a file for a study.
 *
 * @param freeCodes codes for runs that the file does not name
 */
export function contentOf(
  source: Source,
  study: Study,
  freeCodes: (count: number) => string[],
): ImportContent {
  const inspected = inspectCsv(source.text, { decimal: source.decimal })
  if (!inspected.table) return nothing(inspected.problems)
  const table = withoutSummaries(inspected.table)
  const columns = meantColumns(table, source.columns ?? guessMeanings(table, study.factors))
  const shape = shapeOf(columns)
  const texts = textFactors(table, columns, study.factors)
  const read = readRows(table, columns, { unit: study.thicknessUnit, textFactors: texts })
  const { runs, problems } = runsOfRows(read.rows, {
    shape,
    named: columns.some(({ means }) => means === 'run'),
    oneRun: stem(source.fileName),
    codes: freeCodes(read.rows.length),
  })
  const placed = placeReadings(runs, study)
  return {
    shape,
    runs,
    factors: newFactors(columns, read.rows, study.factors),
    shown: {
      delimiter: table.delimiter,
      decimal: table.decimal,
      columns: columns.map(({ index: _, decimal: __, doubt: ___, ...column }) => column),
      rows: inspected.table.rows.slice(0, shownRows).map(({ row, cells }) => ({ row, cells })),
      rowCount: inspected.table.rows.filter((row) => !isSummaryRow(row)).length,
      flagged: placed.flagged,
      leftAside: [...table.leftAside, ...read.leftAside].sort((a, b) => (a.row ?? 0) - (b.row ?? 0)),
      problems: [
        ...inspected.problems,
        ...columns.flatMap(({ means, name, doubt }) =>
          doubt && isNumbers(means, name, texts) ? [doubt] : [],
        ),
        ...nothingMeant(columns),
        ...mappedTwice(columns),
        ...unnumberedSites(columns),
        ...otherUnits(columns, study.factors),
        ...read.problems,
        ...problems,
        ...placed.problems,
      ],
    },
  }
}

function nothing(problems: Problem[]): ImportContent {
  const shown = {
    delimiter: ',',
    decimal: 'point' as const,
    columns: [],
    rows: [],
    rowCount: 0,
    flagged: [],
    leftAside: [],
  }
  return { shape: 'runs', runs: [], factors: [], shown: { ...shown, problems } }
}

/** The file's columns with their meanings; one that the meanings do not name is left aside. */
function meantColumns(table: CsvTable, meanings: readonly ColumnMeaning[]): MeantColumn[] {
  return table.columns.map(({ header, name, decimal, doubt }, index) => {
    const meaning = meanings.find(({ column }) => column === header)
    const meant = meaning ?? { column: header, means: 'ignored' as const, name: '', unit: '' }
    const needsName = meant.means === 'factor' || meant.means === 'response'
    return { ...meant, name: meant.name.trim() || (needsName ? name : ''), index, decimal, doubt }
  })
}

const numberMeanings: readonly ColumnMeaning['means'][] = [
  'site',
  'x',
  'y',
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

function shapeOf(columns: readonly MeantColumn[]): ImportShape {
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
    const key = ['factor', 'response'].includes(means)
      ? `‘${name}’`
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

/** Name of a file without its folder and ending: the run, where the file says no other. */
const stem = (fileName: string) => fileName.replace(/^.*[\\/]/, '').replace(/\.[^.]+$/, '') || 'import'
