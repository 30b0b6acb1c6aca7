import type { Result } from '../../../shared/contract.ts'
import type { Problem } from '../../../shared/problem.ts'
import type { ThicknessUnit } from '../../../shared/units.ts'
import type { ColumnMeaning } from './column-meaning.ts'
import type { CsvTable } from './csv.ts'
import { type NameRule, runOfFileName, stemOf } from './file-names.ts'
import { meantColumns } from './import-columns.ts'
import { RowReader } from './import-rows.ts'
import type { ImportShape, RunsOfRows } from './import-runs.ts'
import type { MeantColumn } from './row-cells.ts'
import type { HowRead } from './row-readings.ts'
import { countedOn } from './rows-of-files.ts'

/** A file with what its lines hold, and what is wrong with them. */
type InspectedFile = { fileName: string; table: CsvTable | null; problems: readonly Problem[] }

/** What is settled for all files before their rows are read. */
type Settled = {
  meanings: readonly ColumnMeaning[]
  /** The columns of the first file with those meanings. */
  columns: readonly MeantColumn[]
  shape: ImportShape
  /** Whether a column says the run. */
  named: boolean
  rule: NameRule
  reading: { unit: ThicknessUnit; textFactors: ReadonlySet<string>; howRead: HowRead }
  /** Codes for rows that are runs without a name. */
  free: readonly string[]
}

/** Rows between two words of how far the reading has come. */
const toldRows = 5000

/**
 * Reads the rows of one file after another into runs. Of several files a row is told by its file too (rows-of-files.ts).
 *
 * @param tell hears how many rows have been read
 */
export function readFiles(
  files: readonly InspectedFile[],
  { meanings, columns, shape, named, rule, reading, free }: Settled,
  runs: RunsOfRows,
  tell: (count: number) => void,
): { files: Result<'imports.preview'>['files']; problems: Problem[]; leftAside: Problem[] } {
  const problems: Problem[] = []
  const leftAside: Problem[] = []
  let count = 0
  const shown = files.map(({ fileName, table, problems: own }, i) => {
    const at = (row: number) => countedOn(row, i, files.length)
    const placed = (each: Problem): Problem => {
      const { row } = each
      if (row === undefined)
        return files.length > 1 ? { ...each, message: `‘${fileName}’: ${each.message}` } : each
      return { ...each, row: at(row), message: each.message.replace(/^Row \d+/, `Row ${at(row)}`) }
    }
    addAll(problems, own.map(placed))
    const code = named ? null : runOfFileName(fileName, rule)
    const file = { fileName, run: shape === 'readings' ? code : null, rows: table?.rows.length ?? 0 }
    if (!table) return file
    addAll(leftAside, table.leftAside.map(placed))
    addAll(problems, otherColumns(files[0]?.table ?? table, table, fileName))
    if (shape === 'readings' && !named && code === null) problems.push(nameless(fileName))
    const reader = new RowReader(i === 0 ? columns : meantColumns(table, meanings), reading)
    for (const { row, cells } of table.rows) {
      const unnamed = shape === 'readings' ? (code ?? stemOf(fileName)) : (free[count] ?? null)
      runs.add(reader.read({ row: at(row), cells }), unnamed)
      if (++count % toldRows === 0) tell(count)
    }
    addAll(problems, reader.problems)
    addAll(leftAside, reader.leftAside)
    return file
  })
  return { files: shown, problems, leftAside }
}

/** Adds what may be more than a call can take as arguments. */
function addAll<T>(to: T[], from: readonly T[]): void {
  for (const one of from) to.push(one)
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
