import type { ImportOptions } from '../../../shared/contract/calls/imports.ts'
import type { ReadingStage } from '../../../shared/contract/things.ts'
import { stageOf } from '../../../shared/film/reading-stage.ts'
import type { Problem } from '../../../shared/problem.ts'
import type { ImportRow } from './import-rows.ts'
import type { RowReading } from './row-readings.ts'

/** A run as a file says it, and the row that names it first. Readings keep their own row. */
export type ImportRun = Omit<ImportRow, 'run' | 'readings'> & {
  code: string
  readings: (RowReading & { row: number })[]
}

export type ImportShape = 'runs' | 'readings' | 'wide readings'

/**
 * How rows are put together: `named` where a column says the run, `numbered` where one numbers the repeats at a site,
 * `repeated` what a further reading at a site is where none does.
 */
export type Grouping = {
  shape: ImportShape
  named: boolean
  numbered: boolean
  repeated: ImportOptions['repeated']
  targetAfter: ReadingStage
  /** The run that a code means, which may bear a check letter, or what is asked about it. */
  readCode(text: string): { code: string } | { question: string }
}

/**
 * Puts the rows of files together to runs. Where a row is a reading, or one of several maps of a substrate, all rows of
 * one code are one run; otherwise a code that comes twice is a problem: two substrates may bear one name.
 */
export class RunsOfRows {
  readonly problems: Problem[] = []
  private readonly runs = new Map<string, ImportRun>()
  /** By what files call a run: its code, null where that is asked about. */
  private readonly codes = new Map<string, string | null>()
  private readonly grouping: Grouping
  private readonly severalRows: boolean

  constructor(grouping: Grouping) {
    this.grouping = grouping
    const { shape, numbered, repeated } = grouping
    this.severalRows =
      shape === 'readings' || (shape === 'wide readings' && (numbered || repeated === 'repeats'))
  }

  /** Takes one row; `code` is the run's where the row does not name it, null where nothing says it. */
  add(row: ImportRow, code: string | null): void {
    const given = this.grouping.named ? row.run : code
    if (given === null) {
      this.problems.push({
        code: 'runMissing',
        message: `Row ${row.row}: it does not say which run it is of.`,
        row: row.row,
      })
      return
    }
    const own = this.codeOf(given, row.row)
    if (own === null) return
    const before = this.runs.get(own)
    if (!before) {
      const { run: _, readings, ...fields } = row
      const run: ImportRun = { ...fields, code: own, readings: [] }
      this.runs.set(own, run)
      for (const reading of readings) run.readings.push(withRow(reading, row.row))
    } else if (this.severalRows) {
      this.problems.push(...contradictions(before, row))
      for (const reading of row.readings) before.readings.push(withRow(reading, row.row))
    } else
      this.problems.push({
        code: 'duplicateRun',
        message:
          `Rows ${before.row} and ${row.row} are both run ‘${own}’. Do two substrates bear one name?` +
          (this.grouping.shape === 'wide readings' ? orRepeats : ''),
        row: row.row,
      })
  }

  /** The run's code without its check letter; null, with a problem of the first such row, where the letter is wrong. */
  private codeOf(given: string, row: number): string | null {
    const before = this.codes.get(given)
    if (before !== undefined) return before
    const read = this.grouping.readCode(given)
    if ('question' in read)
      this.problems.push({
        code: 'wrongLetter',
        message: `Row ${row}, run ‘${given}’: ${read.question}`,
        row,
      })
    const code = 'code' in read ? read.code : null
    this.codes.set(given, code)
    return code
  }

  /** The runs in the order of their first rows, and what is wrong among their rows. */
  done(): { runs: ImportRun[]; problems: Problem[] } {
    const runs = [...this.runs.values()]
    return {
      runs,
      problems: [...this.problems, ...runs.flatMap((run) => repeatedPlaces(run, this.grouping))],
    }
  }
}

const withRow = (reading: RowReading, row: number) => Object.assign(reading, { row })

const same = ['lot', 'session', 'block', 'plateVisit', 'state', 'note'] as const

/** Cells of a run that its rows do not agree on. */
function contradictions(run: ImportRun, row: ImportRow): Problem[] {
  const problems: Problem[] = []
  const compare = (name: string, before: unknown, now: unknown) => {
    if (before === now) return
    problems.push({
      code: 'contradiction',
      message: `Row ${row.row}: run ‘${run.code}’ has ${name} ${now ?? 'empty'} here and ${before ?? 'empty'} in row ${run.row}.`,
      row: row.row,
    })
  }
  for (const name in row.settings) compare(name, run.settings[name], row.settings[name])
  for (const name in run.settings) if (!(name in row.settings)) compare(name, run.settings[name], undefined)
  for (const name of same) compare(name, run[name], row[name])
  return problems
}

/** The way out of a refusal that a person may choose. */
const orRepeats = ' If one was read several times, say that these are repeats.'

/**
 * Sites that a run has twice at one stage: repeats, which are numbered here in the order of the rows, or problems.
 * Readings without a place may repeat: each is a scan of its own.
 */
function repeatedPlaces(run: ImportRun, grouping: Grouping): Problem[] {
  const { numbered, repeated } = grouping
  const seen = new Map<string, { row: number; times: number }>()
  return run.readings.flatMap((reading): Problem[] => {
    const place = placeOf(reading)
    if (place === null) return []
    const what = `${reading.quantity} at ${place}`
    const number = numbered ? ` ${reading.repeat}` : ''
    const key = `${what} ${stageOf(reading, grouping)}${number}`
    const before = seen.get(key)
    if (before === undefined) {
      seen.set(key, { row: reading.row, times: 1 })
      return []
    }
    if (!numbered && repeated === 'repeats') {
      before.times += 1
      reading.repeat = before.times
      return []
    }
    return [
      {
        code: 'repeatedSite',
        message:
          `Rows ${before.row} and ${reading.row}: run ‘${run.code}’ has ${what} twice` +
          `${numbered ? ` as repeat ${reading.repeat}` : ''}. Do two substrates bear one name?` +
          (numbered ? '' : orRepeats),
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
