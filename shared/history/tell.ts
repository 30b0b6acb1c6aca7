import type { ToldChange, ToldValue } from '../contract/results/history.ts'
import { count } from '../words.ts'
import { type NamedValue, textOfValue, valuesOf } from './field-values.ts'
import { fieldWords, toldOfNew } from './field-words.ts'
import { type Look, type RecordedRow, readingTables } from './look.ts'
import { type Thing, thingOf } from './things.ts'

/** A change as the record holds it: the row before and after as JSON. */
export type RecordedChange = { tableName: string; before: string | null; after: string | null }

/** A change that is told, with the thing's own words, by which several are gathered. */
export type ToldOf = ToldChange & { of: Thing }

/** Columns that hold JSON. */
const inJson = new Set(
  (
    'resistLimits ownSites lots program steps plateAtStart practice design settings actual stepsDone offsets origins ' +
    'wafers operators levelNames choice items columns options regions found'
  ).split(' '),
)
/** Marks by which a row is taken away without being deleted. */
const marks = ['removed', 'withdrawn']

/** A recorded change in words of the trade, field by field; a row that was added or taken away as a whole in one. */
export function tell(change: RecordedChange, look: Look): ToldOf[] {
  const table = change.tableName
  const [before, after] = [stateOf(table, change.before, look), stateOf(table, change.after, look)]
  const row = after ?? before ?? {}
  const of = thingOf(table, row, look)
  const thing = { of, thing: of.words }
  if (table === 'exclusion' || table === 'readingTrace')
    return fieldChanges(table, before ?? {}, after ?? {}, look).map((told) => ({ ...thing, ...told }))
  if (before === null)
    return isReading(table) ? newReading(row, thing, look) : [added(table, row, thing, look)]
  if (after === null)
    return [{ ...thing, what: 'taken away', field: null, from: summary(table, row, look), to: null }]
  const mark = marks.find((name) => name in after && before[name] !== after[name])
  const marked = mark === undefined ? [] : [markChange(table, after, after[mark] === 1, look)]
  return [...marked, ...fieldChanges(table, before, after, look)].map((told) => ({ ...thing, ...told }))
}

type Told = Omit<ToldChange, 'thing'>
type OfThing = Pick<ToldOf, 'of' | 'thing'>

/** A row as it was; what the record does not hold of a reading is looked up. */
function stateOf(table: string, json: string | null, look: Look): RecordedRow | null {
  const row = parsed(json)
  return row && isReading(table) ? { ...look.row(table, String(row.id)), ...row } : row
}

function parsed(json: string | null): RecordedRow | null {
  if (json === null) return null
  const row = JSON.parse(json) as Record<string, unknown>
  for (const [name, value] of Object.entries(row))
    if (inJson.has(name) && typeof value === 'string') row[name] = JSON.parse(value)
  return row
}

const isReading = (table: string) => readingTables.includes(table)
const typedReading = ({ text, unit }: RecordedRow): ToldValue => ({
  typed: `${String(text)}${unit === '' ? '' : ` ${String(unit)}`}`,
})
const quantityOf = ({ quantity }: RecordedRow) => String(quantity ?? 'thickness')

/** A reading, or what is put right by one that supersedes another. */
function newReading(row: RecordedRow, thing: OfThing, look: Look): ToldOf[] {
  const field = quantityOf(row)
  const to = typedReading(row)
  const earlier = typeof row.supersedes === 'string' ? look.row('reading', row.supersedes) : null
  const taken: ToldOf = { ...thing, what: 'added', field, from: null, to }
  if (!earlier) return [taken]
  const from = typedReading(earlier)
  const otherNumber = textOfValue(from) !== textOfValue(to)
  const corrected: Told[] = otherNumber ? [{ what: 'changed', field, from, to }] : []
  const told = [...corrected, ...fieldChanges('reading', earlier, row, look)]
  return told.length === 0 ? [taken] : told.map((each) => ({ ...thing, ...each }))
}

function added(table: string, row: RecordedRow, thing: OfThing, look: Look): ToldOf {
  return { ...thing, what: 'added', field: null, from: null, to: summary(table, row, look) }
}

/** What a row held or holds, in a line. */
function summary(table: string, row: RecordedRow, look: Look): ToldValue | null {
  if (table === 'import')
    return { words: `${count(Number(row.runs), 'run')}, ${count(Number(row.readings), 'reading')}` }
  const fields = fieldWords[table] ?? {}
  const shown = toldOfNew[table] ?? Object.keys(fields)
  const values = shown.flatMap((name) => {
    const words = fields[name]
    return words ? valuesOf(words, row[name], { row, look }) : []
  })
  if (values.length === 0) return null
  return { typed: values.map(({ name, value }) => `${name} ${textOfValue(value)}`).join('; ') }
}

function markChange(table: string, row: RecordedRow, gone: boolean, look: Look): Told {
  const held = isReading(table) ? typedReading(row) : summary(table, row, look)
  const field = isReading(table) ? quantityOf(row) : null
  return gone
    ? { what: 'taken away', field, from: held, to: null }
    : { what: 'brought back', field, from: null, to: held }
}

/** Every field that differs, each under its own name. */
function fieldChanges(table: string, before: RecordedRow, after: RecordedRow, look: Look): Told[] {
  const row = 'id' in after ? after : before
  return Object.entries(fieldWords[table] ?? {}).flatMap(([column, words]) => {
    const [was, is] = [before, after].map(
      (held) => new Map(valuesOf(words, held[column], { row, look }).map((value) => [value.name, value])),
    ) as [Map<string, NamedValue>, Map<string, NamedValue>]
    return [...new Set([...was.keys(), ...is.keys()])].flatMap((name) =>
      differing(name, was.get(name), is.get(name)),
    )
  })
}

function differing(field: string, was: NamedValue | undefined, is: NamedValue | undefined): Told[] {
  if (was?.whole !== undefined && is?.whole !== undefined)
    return was.whole === is.whole ? [] : [{ what: 'changed', field, from: null, to: { words: 'changed' } }]
  if (was && is && textOfValue(was.value) === textOfValue(is.value)) return []
  return [{ what: 'changed', field, from: was?.value ?? null, to: is?.value ?? null }]
}
