import { basisOf } from './basis.ts'
import { columnsOf, type DesignTerm, jointKey, type Place } from './design-terms.ts'

/**
 * Which terms runs at these places can estimate beside the other terms of the model: those whose column the others do
 * not give.
 */
export function estimable(terms: readonly DesignTerm[], places: readonly Place[]): boolean[] {
  const columns = columnsOf(terms, places)
  const rank = basisOf(columns).kept.length
  return terms.map((_, j) => basisOf(columns.filter((__, k) => k !== j)).kept.length < rank)
}

/** Terms that stand or fall together: those of the levels of the same factors. */
export function termGroups(terms: readonly DesignTerm[]): DesignTerm[][] {
  const groups = new Map<string, DesignTerm[]>()
  for (const term of terms) groups.set(jointKey(term), [...(groups.get(jointKey(term)) ?? []), term])
  return [...groups.values()]
}

/**
 * The first groups of terms, in order, that runs at these places can estimate together, `most` columns at most;
 * a group too large is passed over for smaller ones behind it.
 */
export function firstEstimable(
  groups: readonly DesignTerm[][],
  places: readonly Place[],
  most = Number.POSITIVE_INFINITY,
): DesignTerm[][] {
  const kept: DesignTerm[][] = []
  for (const group of groups) {
    const terms = [...kept, group].flat()
    if (terms.length <= most && basisOf(columnsOf(terms, places)).kept.length === terms.length)
      kept.push(group)
  }
  return kept
}
