import type { ToldChange, ToldValue } from '../contract/results/history.ts'
import { textOfValue } from './field-values.ts'
import type { ToldOf } from './tell.ts'

/** Names and numbers that are listed one by one. */
const listed = 9

/** The changes of a step with those in one that say the same of several things, in the order of their first. */
export function gather(changes: readonly ToldOf[]): ToldChange[] {
  const groups = new Map<string, ToldOf[]>()
  for (const change of changes) {
    const key = keyOf(change)
    const group = groups.get(key)
    if (group) group.push(change)
    else groups.set(key, [change])
  }
  return [...groups.values()].map(oneOf)
}

/** What comes or goes is one however much each differs; what changes must have changed alike. */
function keyOf({ of, what, field, from, to }: ToldOf): string {
  const alike = what === 'changed' ? [from, to] : []
  return JSON.stringify([of.noun, of.owner, what, field, ...alike])
}

function oneOf(group: readonly ToldOf[]): ToldChange {
  const [{ of, ...first }] = group as [ToldOf, ...ToldOf[]]
  if (group.length === 1) return first
  const names = [...new Set(group.map((each) => each.of.short).filter((short) => short !== ''))]
  const shown =
    names.length <= listed ? names.join(', ') : `${String(names[0])} to ${String(names[names.length - 1])}`
  const thing = `${group.length} ${plural(of.noun)}${of.owner ? ` of ${of.owner}` : ''}`
  const several = { ...first, thing: shown === '' ? thing : `${thing} (${shown})` }
  if (first.what === 'changed') return several
  if (of.noun !== 'reading') return { ...several, from: null, to: null }
  return { ...several, from: listOf(group.map(({ from }) => from)), to: listOf(group.map(({ to }) => to)) }
}

const plural = (noun: string) => (noun.endsWith('y') ? `${noun.slice(0, -1)}ies` : `${noun}s`)

function listOf(values: readonly (ToldValue | null)[]): ToldValue | null {
  const said = values.flatMap((value) => (value ? [textOfValue(value)] : []))
  if (said.length === 0) return null
  const more = said.length > listed ? ` and ${said.length - listed} more` : ''
  return { typed: `${said.slice(0, listed).join(', ')}${more}` }
}
