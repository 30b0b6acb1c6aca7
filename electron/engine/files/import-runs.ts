import type { Problem } from '../../../shared/problem.ts'
import type { ImportRow, RowReading } from './import-rows.ts'

/** A run as a file says it, and the row that names it first. Readings keep their own row. */
export type ImportRun = Omit<ImportRow, 'run' | 'readings'> & {
  code: string
  readings: (RowReading & { row: number })[]
}

export type ImportShape = 'runs' | 'readings' | 'wide readings'

/**
 * Puts the rows of a file together to runs. Where a row is a reading all rows of one code are one run; otherwise
 * a code that comes twice is a problem: two substrates may bear one name.
 *
 * @param options.codes codes for runs that the file does not name, in order
 */
export function runsOfRows(
  rows: readonly ImportRow[],
  options: { shape: ImportShape; named: boolean; oneRun: string; codes: readonly string[] },
): { runs: ImportRun[]; problems: Problem[] } {
  const problems: Problem[] = []
  const runs = new Map<string, ImportRun>()
  rows.forEach((row, i) => {
    const code = codeOf(row, i, options)
    if (code === null) {
      problems.push({
        code: 'runMissing',
        message: `Row ${row.row}: it does not say which run it is of.`,
        row: row.row,
      })
      return
    }
    const { run: _, readings, ...fields } = row
    const own = readings.map((reading) => ({ ...reading, row: row.row }))
    const before = runs.get(code)
    if (!before) runs.set(code, { ...fields, code, readings: own })
    else if (options.shape === 'readings') {
      problems.push(...contradictions(before, row))
      before.readings.push(...own)
    } else
      problems.push({
        code: 'duplicateRun',
        message: `Rows ${before.row} and ${row.row} are both run ‘${code}’. Do two substrates bear one name?`,
        row: row.row,
      })
  })
  for (const run of runs.values()) problems.push(...repeatedPlaces(run))
  return { runs: [...runs.values()], problems }
}

function codeOf(
  row: ImportRow,
  index: number,
  options: { shape: ImportShape; named: boolean; oneRun: string; codes: readonly string[] },
): string | null {
  if (options.named) return row.run
  return options.shape === 'readings' ? options.oneRun : (options.codes[index] ?? null)
}

/** Cells of a run that its rows do not agree on. */
function contradictions(run: ImportRun, row: ImportRow): Problem[] {
  const pairs: [string, unknown, unknown][] = [
    ...Object.keys({ ...run.settings, ...row.settings }).map((name): [string, unknown, unknown] => [
      name,
      run.settings[name],
      row.settings[name],
    ]),
    ...(['lot', 'session', 'block', 'plateVisit', 'state', 'note'] as const).map(
      (name): [string, unknown, unknown] => [name, run[name], row[name]],
    ),
  ]
  return pairs
    .filter(([, before, now]) => before !== now)
    .map(([name, before, now]) => ({
      code: 'contradiction',
      message: `Row ${row.row}: run ‘${run.code}’ has ${name} ${now ?? 'empty'} here and ${before ?? 'empty'} in row ${run.row}.`,
      row: row.row,
    }))
}

/** Sites that a run has twice. Readings without a place may repeat: each is a scan of its own. */
function repeatedPlaces(run: ImportRun): Problem[] {
  const seen = new Map<string, number>()
  return run.readings.flatMap((reading): Problem[] => {
    const place = placeOf(reading)
    if (place === null) return []
    const key = `${reading.quantity} at ${place}`
    const before = seen.get(key)
    if (before === undefined) {
      seen.set(key, reading.row)
      return []
    }
    return [
      {
        code: 'repeatedSite',
        message: `Rows ${before} and ${reading.row}: run ‘${run.code}’ has ${key} twice. Do two substrates bear one name?`,
        row: reading.row,
      },
    ]
  })
}

/** The place of a reading in words, or null where it has none. */
export function placeOf({ site, xMm, yMm }: Pick<RowReading, 'site' | 'xMm' | 'yMm'>): string | null {
  if (site !== null) return `site ${site}`
  return xMm === null || yMm === null ? null : `x ${xMm}, y ${yMm} mm`
}
