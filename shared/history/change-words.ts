import type { ToldChange } from '../contract/results/history.ts'
import { textOfValue } from './field-values.ts'

/** What stands for a field that holds nothing. */
export const nothingHeld = 'nothing'

/** What happened to a thing; readings are taken. */
export function doneTo({ what, thing }: Pick<ToldChange, 'what' | 'thing'>): string {
  return what === 'added' && /\breadings?\b/.test(thing) ? 'taken' : what
}

/** A change in a line. */
export function changeWords(change: ToldChange): string {
  const { thing, what, field, from, to } = change
  const of = field === null ? thing : `${thing}, ${field}`
  const [was, is] = [from, to].map((value) => (value ? textOfValue(value) : nothingHeld))
  if (what === 'changed') return `${of}: ${was} → ${is}`
  const held = to ?? from
  return `${of} ${doneTo(change)}${held ? `: ${textOfValue(held)}` : ''}`
}
