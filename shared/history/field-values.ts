import { plainNumber, quantity } from '../charts/format.ts'
import type { ToldValue } from '../contract/results/history.ts'
import type { FieldWords } from './field-kinds.ts'
import type { Look, RecordedRow } from './look.ts'
import { nameOf } from './things.ts'

/** One value under the name that the page uses. `whole` is the value itself, where it is too much to be told. */
export type NamedValue = { name: string; value: ToldValue; whole?: string }

type Told = { row: RecordedRow; look: Look }

/** What a field holds, told key by key; nothing where it holds nothing. */
export function valuesOf(field: FieldWords, value: unknown, told: Told, before = ''): NamedValue[] {
  if (field.silent || isEmpty(value)) return []
  const name = `${before}${field.name}`
  if (field.whole) return [{ name, value: { words: 'noted' }, whole: JSON.stringify(value) }]
  const { keys, each } = field
  const inner = name === '' ? '' : `${name}, `
  if (keys === 'settings')
    return entriesOf(value).map(([factor, setting]) => ({
      name: factor,
      value: plainValue(setting, told.look.unitOf(String(told.row.studyId), factor), true),
    }))
  if (keys === 'moments')
    return entriesOf(value).map(([of, at]) => ({ name: `${inner}${of}`, value: momentValue(at) }))
  if (keys)
    return Object.entries(keys).flatMap(([key, words]) =>
      valuesOf(words, (value as Record<string, unknown>)[key], told, inner),
    )
  if (each)
    return (value as Record<string, unknown>[]).flatMap((item, i) =>
      Object.entries(each.keys).flatMap(([key, words]) =>
        valuesOf(words, item[key], told, `${each.called(i + 1, item)}, `),
      ),
    )
  return [{ name, value: shownValue(field, value, told.look) }]
}

const entriesOf = (value: unknown) => Object.entries(value as Record<string, unknown>)

function isEmpty(value: unknown): boolean {
  if (value === null || value === undefined || value === '') return true
  return typeof value === 'object' && Object.keys(value).length === 0
}

function shownValue(field: FieldWords, value: unknown, look: Look): ToldValue {
  if (Array.isArray(value)) {
    const said = value.map((each) => textOfValue(shownValue(field, each, look))).join(', ')
    return field.typed ? { typed: said } : { words: said }
  }
  if (field.refers) return { typed: nameOf(field.refers, String(value), look) }
  if (field.yes) return { words: field.yes[Number(value)] ?? String(value) }
  if (field.moment) return momentValue(value)
  const words = field.values?.[String(value)]
  return words === undefined ? plainValue(value, field.unit ?? '', field.typed ?? false) : { words }
}

function plainValue(value: unknown, unit: string, typed: boolean): ToldValue {
  if (typeof value === 'number') return { words: quantity(plainNumber(value, 12), unit) }
  return typed ? { typed: String(value) } : { words: String(value) }
}

/** A moment to the minute, in universal time. */
function momentValue(value: unknown): ToldValue {
  const at = new Date(String(value))
  if (Number.isNaN(at.getTime())) return { typed: String(value) }
  return { words: `${at.toISOString().slice(0, 16).replace('T', ' ')} UTC` }
}

/** The words of a value, whoever wrote them. */
export const textOfValue = (value: ToldValue): string => ('words' in value ? value.words : value.typed)
