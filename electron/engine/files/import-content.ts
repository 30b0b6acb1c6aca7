import type { ImportOptions } from '../../../shared/contract/calls/imports.ts'
import type { Factor, Study } from '../../../shared/contract/things.ts'
import type { CheckedArgs, Result } from '../../../shared/contract.ts'
import type { MappedSubstrate } from '../../../shared/film/site-map.ts'
import type { Problem } from '../../../shared/problem.ts'
import { readCode } from '../../../shared/process/check-letter.ts'
import { type Tell, untold } from '../../../shared/progress.ts'
import { guessMeanings } from './column-meaning.ts'
import { type CsvTable, inspectCsv } from './csv.ts'
import { guessNameRule } from './file-names.ts'
import { columnProblems, meantColumns, shapeOf, withGuessedUnits } from './import-columns.ts'
import { newFactors, textFactors } from './import-factors.ts'
import { readFiles } from './import-files.ts'
import { placeReadings } from './import-film.ts'
import { type Axes, guessAxes, placeOn } from './import-positions.ts'
import { type ImportRun, type ImportShape, RunsOfRows } from './import-runs.ts'
import { readAs } from './read-as.ts'
import { runsAsRows } from './runs-as-rows.ts'
import { isSummaryRow, withoutSummaries } from './summary-rows.ts'

export type ImportSource = Omit<CheckedArgs<'imports.preview'>, 'studyId'>
type Preview = Result<'imports.preview'>

/** What files hold for a study, before it is compared with what the study has. */
export type ImportContent = {
  shape: ImportShape
  runs: ImportRun[]
  /** Factors to be added, or to be given further levels. */
  factors: Factor[]
  /** What of the preview is known from the files alone. */
  shown: Pick<
    Preview,
    | 'delimiter'
    | 'decimal'
    | 'columns'
    | 'decimals'
    | 'options'
    | 'files'
    | 'rows'
    | 'rowCount'
    | 'flagged'
    | 'leftAside'
    | 'problems'
  >
}

/** What the study has, as far as reading a file needs it. */
export type ImportStudy = Pick<
  Study,
  'id' | 'factors' | 'thicknessUnit' | 'targetAfter' | 'readAfter' | 'readIndex'
> &
  MappedSubstrate

/** What is said of the readings of whole files. */
type HowOptions = Pick<ImportOptions, 'repeated' | 'takenAfter' | 'opticalIndex'>

/** Rows that the preview shows as they stand. */
const shownRows = 20

/**
 * Reads files for a study: the columns of the first say what those of all mean.
 *
 * @param codes codes of the study's runs, which may stand in the names of files
 * @param freeCodes codes for runs that no file names
 */
export function contentOf(
  source: ImportSource,
  study: ImportStudy,
  { codes, freeCodes }: { codes: readonly string[]; freeCodes: (count: number) => string[] },
  tell: Tell = untold,
): ImportContent {
  const files = [{ fileName: source.fileName, text: source.text }, ...(source.more ?? [])]
  const inspected = files.map(({ text }) =>
    inspectCsv(text, { decimal: source.decimal, noHeader: source.options?.header === 'none' }),
  )
  const names = files.map(({ fileName }) => fileName)
  const rule = { ...guessNameRule(names, codes), ...definedOnly(source.options) }
  const how: HowOptions = {
    repeated: 'refused',
    takenAfter: study.readAfter,
    opticalIndex: study.readIndex,
    ...definedOnly(source.options),
  }
  const [first] = inspected
  if (!first?.table) return nothing(first?.problems ?? [], names, { ...rule, ...how })
  const known = new Set(codes)
  const isRun = (text: string) => {
    const read = readCode(text, study.id, known)
    return 'question' in read || known.has(read.code)
  }
  const tables = inspected.map(({ table }) => table && runsAsRows(withoutSummaries(table), isRun))
  const table = tables[0] as CsvTable
  const guessed = source.columns ?? withGuessedUnits(table, guessMeanings(table, study.factors), study)
  const columns = meantColumns(table, guessed)
  const shape = shapeOf(columns)
  const named = columns.some(({ means }) => means === 'run')
  const texts = textFactors(table, columns, study.factors)
  const rowCount = tables.reduce((count, each) => count + (each?.rows.length ?? 0), 0)

  const numbered = columns.some(({ means }) => means === 'repeat')
  const { repeated } = how
  const grouped = new RunsOfRows({
    ...{ shape, named, numbered, repeated, targetAfter: study.targetAfter },
    readCode: (text) => readCode(text, study.id, known),
  })
  const howRead = {
    takenAfter: how.takenAfter === 'not said' ? null : how.takenAfter,
    opticalIndex: how.opticalIndex,
  }
  const read = readFiles(
    files.map(({ fileName }, i) => ({
      fileName,
      table: tables[i] ?? null,
      problems: inspected[i]?.problems ?? [],
    })),
    {
      ...{ meanings: guessed, columns, shape, named, rule },
      reading: { unit: study.thicknessUnit, textFactors: texts, howRead },
      free: shape === 'readings' || named ? [] : freeCodes(rowCount),
    },
    grouped,
    (count) => tell('rows read', count, rowCount),
  )
  const done = grouped.done()
  const { axes, place } = aboutCentre(done.runs, study, source.options)
  const film = placeReadings(done.runs, study)
  return {
    shape,
    runs: done.runs,
    factors: newFactors(columns, done.runs, study.factors),
    shown: {
      delimiter: table.delimiter,
      decimal: table.decimal,
      columns: columns.map(({ column, means, name, unit }) => ({
        ...guessed.find((meaning) => meaning.column === column),
        ...{ column, means, name, unit },
      })),
      decimals: columns.map(({ decimal }) => decimal),
      options: {
        header: table.hasHeader ? 'named' : 'none',
        origin: axes.origin,
        yAxis: axes.yAxis,
        before: rule.before,
        after: rule.after,
        repeated: how.repeated,
        takenAfter: how.takenAfter,
        opticalIndex: how.opticalIndex,
      },
      files: read.files,
      // Rows that sum up are shown where they stand, unless the rows are no longer those of the file.
      rows: (table.columns === first.table.columns ? first.table : table).rows
        .slice(0, shownRows)
        .map(({ row, cells }) => ({
          row,
          cells,
          read: isSummaryRow({ row, cells })
            ? columns.map(() => null)
            : readAs(columns, cells, { unit: study.thicknessUnit, place, textFactors: texts }),
        })),
      rowCount,
      flagged: film.flagged,
      leftAside: read.leftAside.sort((a, b) => (a.row ?? 0) - (b.row ?? 0)),
      problems: [
        ...read.problems.slice(0, first.problems.length),
        ...columnProblems(columns, texts, study.factors),
        ...read.problems.slice(first.problems.length),
        ...done.problems,
        ...film.problems,
      ],
    },
  }
}

/** Turns the positions of readings, mm, into those about the centre, by the axes that are said or guessed. */
function aboutCentre(runs: readonly ImportRun[], study: ImportStudy, said: ImportSource['options']) {
  const readings = runs.flatMap((run) => run.readings)
  const axes: Axes = { ...guessAxes(readings, study), ...definedOnly(said) }
  const place = placeOn(axes, study)
  for (const reading of readings) {
    if (reading.xMm !== null) reading.xMm = place.x(reading.xMm)
    if (reading.yMm !== null) reading.yMm = place.y(reading.yMm)
  }
  return { axes, place }
}

function nothing(
  problems: Problem[],
  names: readonly string[],
  { before, after, repeated, takenAfter, opticalIndex }: Pick<ImportOptions, 'before' | 'after'> & HowOptions,
): ImportContent {
  return {
    shape: 'runs',
    runs: [],
    factors: [],
    shown: {
      delimiter: ',',
      decimal: 'point',
      columns: [],
      decimals: [],
      options: {
        header: 'named',
        origin: 'centre',
        yAxis: 'up',
        ...{ before, after, repeated, takenAfter, opticalIndex },
      },
      files: names.map((fileName) => ({ fileName, run: null, rows: 0 })),
      rows: [],
      rowCount: 0,
      flagged: [],
      leftAside: [],
      problems,
    },
  }
}

/** The fields that are given. */
function definedOnly(options: ImportSource['options']): Partial<ImportOptions> {
  return Object.fromEntries(Object.entries(options ?? {}).filter(([, value]) => value !== undefined))
}
