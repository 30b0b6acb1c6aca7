import type { z } from 'zod'
import type { columnMeaning } from '../../../shared/contract/calls/imports.ts'
import type { Factor, FactorRole } from '../../../shared/contract/things.ts'
import { parseNumber } from '../../../shared/numbers.ts'
import { thicknessUnitOf } from '../../../shared/units.ts'
import { actualField } from './actual-columns.ts'
import { isReading, isResponse, isThickness, meaningByWord, plainName, wideSite } from './column-words.ts'
import type { CsvColumn, CsvTable } from './csv.ts'
import { numberLike } from './records.ts'

export type ColumnMeaning = z.infer<typeof columnMeaning>

/**
 * In our own table of runs this column counts the readings of each run, and the columns after it sum them up;
 * the readings themselves are in the other table.
 */
export const summariesFollow = 'readings count'

/** What each column of a table probably means, for a person to look at before anything is kept. */
export function guessMeanings(table: CsvTable, factors: readonly Factor[]): ColumnMeaning[] {
  const plain = table.columns.map(({ name }) => plainName(name))
  const words = plain.map((name, i) =>
    name === 'n' && isOpticalIndex(table, i) ? 'optical index' : meaningByWord.get(name),
  )
  const onMap = words.includes('x') && words.includes('y')
  const polar = words.includes('radius') && words.includes('angle')
  const isLong = onMap || polar || words.includes('site') || isScans(plain) || isReadings(table, words, plain)
  const wide = isLong ? [] : wideColumns(plain)
  const reading = isLong ? plain.findIndex(isReading) : -1
  const summaries = plain.indexOf(plainName(summariesFollow))

  return table.columns.map((column, i): ColumnMeaning => {
    const means = (meaning: ColumnMeaning['means'], name = '', unit = column.unit ?? '') => ({
      column: column.header,
      means: meaning,
      name,
      unit,
    })
    const name = plain[i] as string
    const word = words[i]
    const factor = factors.find((known) => known.name === column.name)
    if (factor) return means('factor', factor.name, column.unit ?? factor.unit)
    const field = actualField(name)
    if (field) return means('actual', field.field, field.unit)
    // Beside the state of a run it is the word for what is wrong; elsewhere it may be a number that was read.
    if (name === 'defect' && words.includes('state')) return means('defect')
    if (summaries >= 0 && i >= summaries) return means('ignored')
    if (wide.includes(i)) return means('wide site', String(wideSite(name)))
    if (i === reading) return means('reading', 'thickness')
    if (word === 'x' || word === 'y') {
      if (onMap) return means(word)
    } else if (word === 'radius' || word === 'angle') return means(polar && !onMap ? word : 'ignored')
    else if (word) return means(word)
    // Beside single readings a column of means would count them twice.
    const response = isLong || wide.length > 0 ? 'ignored' : 'response'
    if (isThickness(name)) return means(response, 'thickness')
    if (isResponse(name) || thicknessUnitOf(column.unit ?? '') !== null) return means(response, column.name)
    return isFactor(table, i)
      ? means('factor', column.name, column.unit ?? roleOf(column).unit)
      : means('ignored')
  })
}

/** Whether the cells of a column ‘n’ may be the index of a film: such a column often counts something. */
function isOpticalIndex({ columns, rows }: CsvTable, index: number): boolean {
  const { decimal } = columns[index] as CsvColumn
  const cells = rows.map(({ cells }) => (cells[index] as string).trim()).filter((cell) => cell !== '')
  const read = cells.map((cell) => parseNumber(cell, { decimal }))
  const between = (value: number) => value >= 1 && value <= 5
  return (
    read.length > 0 &&
    read.every((number) => number.ok && between(number.value)) &&
    read.some((number) => number.ok && !Number.isInteger(number.value))
  )
}

/** One row a scan: what was read, and the number of the scan or nothing but it. */
function isScans(plain: readonly string[]): boolean {
  return plain.some(isReading) && plain.some((name) => /^scan(no|number)?$/.test(name))
}

/** A column of readings beside runs of which some come again. */
function isReadings(
  table: CsvTable,
  words: readonly (ColumnMeaning['means'] | undefined)[],
  plain: readonly string[],
): boolean {
  const run = words.indexOf('run')
  if (run < 0 || !plain.some(isReading) || words.includes('run order') || words.includes('kind')) return false
  const codes = table.rows.map(({ cells }) => cells[run] as string)
  return codes.length > 2 && new Set(codes).size * 2 <= codes.length
}

/** A column of numbers, or of a few words that come again. */
function isFactor(table: CsvTable, index: number): boolean {
  const cells = table.rows.map(({ cells }) => (cells[index] as string).trim()).filter((cell) => cell !== '')
  const numbers = cells.filter((cell) => numberLike.test(cell)).length
  return cells.length > 0 && (numbers * 2 >= cells.length || new Set(cells).size * 2 <= cells.length)
}

const roles: { names: RegExp; role: FactorRole; unit: string }[] = [
  { names: /^(speed|rpm|spinspeed|mainspeed)$/, role: 'speed', unit: 'rpm' },
  { names: /^(time|spintime|segmenttime)$/, role: 'time', unit: 's' },
  { names: /^(ramp|acceleration|ramprate)$/, role: 'ramp', unit: 'rpm/s' },
  { names: /^(softbake|bake|plate)(temperature|temp)?$/, role: 'bake temperature', unit: '°C' },
  { names: /^(softbake|bake)time$/, role: 'bake time', unit: 's' },
]

/** What a factor of that name sets on the tools, and the unit that it has where the file names none. */
export function roleOf({ name }: Pick<CsvColumn, 'name'>): { role: FactorRole; unit: string } {
  const found = roles.find(({ names }) => names.test(plainName(name)))
  return found ? { role: found.role, unit: found.unit } : { role: 'other', unit: '' }
}

/** Site columns of a table with a row for each substrate: at least three, numbered without a gap from 1. */
function wideColumns(plain: readonly string[]): number[] {
  const found = plain.flatMap((name, index) => (wideSite(name) === null ? [] : [index]))
  const sites = new Set(found.map((index) => wideSite(plain[index] as string)))
  return found.length >= 3 && found.every((_, i) => sites.has(i + 1)) ? found : []
}
