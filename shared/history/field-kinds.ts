/** How a field is called on the page, and how what it holds is said. */
export type FieldWords = {
  name: string
  unit?: string
  /** It names a row of that table. */
  refers?: string
  /** Words for its values. */
  values?: Record<string, string>
  /** It holds 0 or 1. */
  yes?: [no: string, yes: string]
  /** It holds what a person typed. */
  typed?: boolean
  moment?: boolean
  /** It holds an object: its keys, or all that there are, of which `units` may know the unit. */
  keys?: Record<string, FieldWords> | 'settings' | 'moments'
  /** It holds a list of objects: how one is called, by its place from 1. */
  each?: {
    called: (place: number, item: Record<string, unknown>) => string
    keys: Record<string, FieldWords>
  }
  /** Too much to be told: only that it is new. */
  whole?: true
  /** It goes with another field, or says nothing to a person. */
  silent?: true
}
/** The fields of a table, or of an object within one. */
export type Fields = Record<string, FieldWords>

export const typed = (name: string): FieldWords => ({ name, typed: true })
export const number = (name: string, unit = ''): FieldWords => ({ name, unit })
export const yes = (name: string): FieldWords => ({ name, yes: ['no', 'yes'] })
export const refers = (name: string, table: string): FieldWords => ({ name, refers: table })
export const moment = (name: string): FieldWords => ({ name, moment: true })
export const whole = (name: string): FieldWords => ({ name, whole: true })
export const silent: FieldWords = { name: '', silent: true }
