import type { z } from 'zod'
import { type Actual, actual } from '../../../shared/contract/things.ts'
import { plainName } from './column-words.ts'

export type ActualField = keyof Actual

/** The columns of what really happened, in our own table of runs. */
export const actualColumns: readonly { field: ActualField; header: string; unit: string }[] = [
  { field: 'speed', header: 'actual speed', unit: 'rpm' },
  { field: 'ramp', header: 'actual ramp', unit: 'rpm/s' },
  { field: 'time', header: 'actual time', unit: 's' },
  { field: 'bakeDisplay', header: 'actual bake display', unit: '°C' },
  { field: 'bakeSurface', header: 'actual bake surface', unit: '°C' },
  { field: 'bakeTime', header: 'actual bake time', unit: 's' },
  { field: 'roomTemperature', header: 'actual room temperature', unit: '°C' },
  { field: 'humidity', header: 'actual humidity', unit: '%' },
  { field: 'minutesSinceSet', header: 'actual time since plate set', unit: 'min' },
  { field: 'waferSinceClean', header: 'actual wafer since clean', unit: '' },
  { field: 'lidOpen', header: 'actual lid open', unit: '' },
  { field: 'operator', header: 'actual operator', unit: '' },
  { field: 'deviation', header: 'actual deviation', unit: '' },
]

export const actualFields: readonly string[] = actualColumns.map(({ field }) => field)
export const isActualField = (name: string): name is ActualField => actualFields.includes(name)

const byName = new Map(actualColumns.map((column) => [plainName(column.header), column]))

/** The field that a header names, as {@link plainName} writes it. */
export const actualField = (plain: string) => byName.get(plain)

const words: readonly string[] = ['lidOpen', 'operator', 'deviation'] satisfies ActualField[]

/** Reads a cell of one of these columns; `number` reads and complains by itself, and gives null then. */
export function readActual(
  field: ActualField,
  cell: string,
  number: (cell: string) => number | null,
): { value?: unknown; refused?: string } {
  const value = words.includes(field) ? flagOrText(field, cell) : number(cell)
  if (value === null) return {}
  const read = actual.shape[field].safeParse(value)
  return read.success ? { value: read.data } : { refused: `‘${cell}’ cannot be` }
}

function flagOrText(field: ActualField, cell: string): unknown {
  if (field !== 'lidOpen') return cell
  return cell === 'true' ? true : cell === 'false' ? false : cell
}

/** A cell of JSON in a shape, or null where it is none. */
export function parsed<T>(cell: string, shape: z.ZodType<T>): T | null {
  try {
    return shape.parse(JSON.parse(cell))
  } catch {
    return null
  }
}
