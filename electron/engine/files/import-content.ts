import type { ImportOptions } from '../../../shared/contract/calls/imports.ts'
import type { Factor, Study } from '../../../shared/contract/things.ts'
import type { CheckedArgs, Result } from '../../../shared/contract.ts'
import type { MappedSubstrate } from '../../../shared/film/site-map.ts'
import type { Problem } from '../../../shared/problem.ts'
import { readCode } from '../../../shared/process/check-letter.ts'
import { type Tell, untold } from '../../../shared/progress.ts'
import { guessMeanings } from './column-meaning.ts'
import { type CsvTable, inspectCsv } from './csv.ts'
import { guessNameRule, runOfFileName, stemOf } from './file-names.ts'
import { columnProblems, meantColumns, shapeOf, withGuessedUnits } from './import-columns.ts'
import { newFactors, textFactors } from './import-factors.ts'
import { placeReadings } from './import-film.ts'
import { type Axes, guessAxes, placeOn } from './import-positions.ts'
import { RowReader } from './import-rows.ts'
import { type ImportRun, type ImportShape, RunsOfRows } from './import-runs.ts'
import { readAs } from './read-as.ts'
import { countedOn } from './rows-of-files.ts'
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
/** Rows between two words of how far the reading has come. */
const toldRows = 5000

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
  const tables = inspected.map(({ table }) => table && withoutSummaries(table))
  const table = tables[0] as CsvTable
  const guessed = source.columns ?? withGuessedUnits(table, guessMeanings(table, study.factors), study)
  const columns = meantColumns(table, guessed)
  const shape = shapeOf(columns)
  const named = columns.some(({ means }) => means === 'run')
  const texts = textFactors(table, columns, study.factors)
  const rowCount = tables.reduce((count, each) => count + (each?.rows.length ?? 0), 0)

  const numbered = columns.some(({ means }) => means === 'repeat')
  const { repeated } = how
  const known = new Set(codes)
  const grouped = new RunsOfRows({
    ...{ shape, named, numbered, repeated, targetAfter: study.targetAfter },
    readCode: (text) => readCode(text, study.id, known),
  })
  const howRead = {
    takenAfter: how.takenAfter === 'not said' ? null : how.takenAfter,
    opticalIndex: how.opticalIndex,
  }
  const problems: Problem[] = []
  const leftAside: Problem[] = []
  const shownFiles: Preview['files'] = []
  const free = shape === 'readings' || named ? [] : freeCodes(rowCount)
  let count = 0
  files.forEach(({ fileName }, i) => {
    const here = tables[i]
    const at = (row: number) => countedOn(row, i, files.length)
    const placed = (each: Problem): Problem => {
      const { row } = each
      if (row === undefined)
        return files.length > 1 ? { ...each, message: `‘${fileName}’: ${each.message}` } : each
      return { ...each, row: at(row), message: each.message.replace(/^Row \d+/, `Row ${at(row)}`) }
    }
    addAll(problems, (inspected[i]?.problems ?? []).map(placed))
    const code = named ? null : runOfFileName(fileName, rule)
    shownFiles.push({
      fileName,
      run: shape === 'readings' ? code : null,
      rows: here?.rows.length ?? 0,
    })
    if (!here) return
    addAll(leftAside, here.leftAside.map(placed))
    const own = here === table ? columns : meantColumns(here, guessed)
    addAll(problems, otherColumns(table, here, fileName))
    if (shape === 'readings' && !named && code === null) problems.push(nameless(fileName))
    const reader = new RowReader(own, { unit: study.thicknessUnit, textFactors: texts, howRead })
    for (const { row, cells } of here.rows) {
      grouped.add(
        reader.read({ row: at(row), cells }),
        shape === 'readings' ? (code ?? stemOf(fileName)) : (free[count] ?? null),
      )
      if (++count % toldRows === 0) tell('rows read', count, rowCount)
    }
    addAll(problems, reader.problems)
    addAll(leftAside, reader.leftAside)
  })
  const done = grouped.done()
  const axes: Axes = {
    ...guessAxes(
      done.runs.flatMap(({ readings }) => readings),
      study,
    ),
    ...definedOnly(source.options),
  }
  const place = placeOn(axes, study)
  for (const { readings } of done.runs)
    for (const reading of readings) {
      if (reading.xMm !== null) reading.xMm = place.x(reading.xMm)
      if (reading.yMm !== null) reading.yMm = place.y(reading.yMm)
    }
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
      files: shownFiles,
      rows: (first.table?.rows ?? []).slice(0, shownRows).map(({ row, cells }) => ({
        row,
        cells,
        read: isSummaryRow({ row, cells })
          ? columns.map(() => null)
          : readAs(columns, cells, { unit: study.thicknessUnit, place, textFactors: texts }),
      })),
      rowCount,
      flagged: film.flagged,
      leftAside: leftAside.sort((a, b) => (a.row ?? 0) - (b.row ?? 0)),
      problems: [
        ...problems.splice(0, first.problems.length),
        ...columnProblems(columns, texts, study.factors),
        ...problems,
        ...done.problems,
        ...film.problems,
      ],
    },
  }
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

/** Adds what may be more than a call can take as arguments. */
function addAll<T>(to: T[], from: readonly T[]): void {
  for (const one of from) to.push(one)
}

/** The fields that are given. */
function definedOnly(options: ImportSource['options']): Partial<ImportOptions> {
  return Object.fromEntries(Object.entries(options ?? {}).filter(([, value]) => value !== undefined))
}

/** Further files have to have the columns of the first, in whatever order. */
function otherColumns(first: CsvTable, here: CsvTable, fileName: string): Problem[] {
  const known = first.columns.map(({ header }) => header)
  const own = here.columns.map(({ header }) => header)
  const missing = known.filter((header) => !own.includes(header))
  const added = own.filter((header) => !known.includes(header))
  const words = [
    ...(missing.length > 0 ? [`has no ${missing.map((header) => `‘${header}’`).join(', ')}`] : []),
    ...(added.length > 0 ? [`has ${added.map((header) => `‘${header}’`).join(', ')} besides`] : []),
  ]
  if (words.length === 0) return []
  return [
    {
      code: 'otherColumns',
      message: `‘${fileName}’ ${words.join(' and ')}: its columns are not those of the first file. Import it by itself.`,
    },
  ]
}

function nameless(fileName: string): Problem {
  return {
    code: 'fileName',
    message: `‘${fileName}’: its name does not say the substrate. Change what stands before and after it in the names of the files.`,
  }
}
