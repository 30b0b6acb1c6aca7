import fc from 'fast-check'
import type { z } from 'zod'

/** What a generator draws from to reach beyond the door: identifiers and names that are there. */
export type Known = { ids: string[]; words: string[] }

type Definition = {
  type: string
  format?: string
  shape?: Record<string, z.ZodType>
  innerType?: z.ZodType
  element?: z.ZodType
  options?: z.ZodType[]
  items?: z.ZodType[]
  entries?: Record<string, string>
  values?: unknown[]
  keyType?: z.ZodType
  valueType?: z.ZodType
  in?: z.ZodType
  left?: z.ZodType
  right?: z.ZodType
  getter?: () => z.ZodType
}

const numbers = [
  0, 1, 2, 3, 5, 0.5, 0.01, 0.95, 90, 100, 1500, 3000, 4000, -1, -0.5, 1e-9, 1e9, 1e300, 5e-324,
]

/** Arguments that a schema mostly takes, down to its edges; what it refuses is part of the test. */
export function argumentsOf(schema: z.ZodType, known: Known): fc.Arbitrary<unknown> {
  const of = (inner: z.ZodType | undefined) => argumentsOf(inner as z.ZodType, known)
  const definition = (schema as unknown as { def: Definition }).def
  switch (definition.type) {
    case 'object':
      return fc.record(
        Object.fromEntries(Object.entries(definition.shape ?? {}).map(([name, inner]) => [name, of(inner)])),
      )
    case 'optional':
      return fc.option(of(definition.innerType), { nil: undefined, freq: 1 })
    case 'nullable':
      return fc.option(of(definition.innerType), { nil: null })
    case 'default':
    case 'prefault':
    case 'readonly':
    case 'nonoptional':
      return of(definition.innerType)
    case 'array':
      return fc.array(of(definition.element), { maxLength: 4 })
    case 'tuple':
      return fc.tuple(...(definition.items ?? []).map(of))
    case 'union':
      return fc.oneof(...(definition.options ?? []).map(of))
    case 'intersection':
      return fc
        .tuple(of(definition.left), of(definition.right))
        .map(([a, b]) => ({ ...(a as object), ...(b as object) }))
    case 'record':
      return fc.dictionary(of(definition.keyType) as fc.Arbitrary<string>, of(definition.valueType), {
        maxKeys: 4,
      })
    case 'enum':
      return fc.constantFrom(...Object.values(definition.entries ?? {}))
    case 'literal':
      return fc.constantFrom(...(definition.values ?? []))
    case 'pipe':
      return of(definition.in)
    case 'lazy':
      return of(definition.getter?.())
    case 'boolean':
      return fc.boolean()
    case 'number':
      return fc.oneof(fc.constantFrom(...numbers), fc.integer({ min: -3, max: 40 }), fc.double())
    case 'string':
      return text(definition.format, known)
    default:
      return fc.jsonValue()
  }
}

/** Any characters; the library's own string of them first goes through all of Unicode, for a second. */
const anyText = fc
  .array(fc.integer({ min: 0, max: 0x10ffff }), { maxLength: 12 })
  .map((points) => String.fromCodePoint(...points).replace(/\p{Cs}/gu, '\uFFFD'))

function text(format: string | undefined, { ids, words }: Known): fc.Arbitrary<string> {
  if (format === 'uuid' || format === 'guid') return fc.constantFrom(...ids)
  if (format === 'datetime') return fc.constantFrom('2026-03-02T08:30:00.000Z', '1970-01-01T00:00:00.000Z')
  if (format === 'date') return fc.constantFrom('2026-03-02', '2024-02-29')
  if (format === 'base64') return fc.base64String({ maxLength: 40 })
  return fc.oneof({ weight: 4, arbitrary: fc.constantFrom(...words) }, { weight: 1, arbitrary: anyText })
}
